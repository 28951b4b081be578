"""The items of each card, for one machine: what is asked, how it is done, what is seen or measured."""

from decimal import Decimal

from workshop.bench.cards import Answer, Card, Item, ItemKind, Unit, Way
from workshop.core.templatetags.measures import measure, number
from workshop.core.words import InstrumentKind, Kind, Pump
from workshop.trade.coffee import bands
from workshop.trade.safety.electrical import (
    Measure,
    fuse_rating_a,
    needs_leakage,
)


def cards_for(unit: Unit) -> tuple[Card, ...]:
    """Return every card of this machine with every item it can have, short set and full set."""
    water, heat = _water(unit), _heat(unit)
    cards = [
        Card("before-lid", "Before the lid", Way.DO_CONFIRM, _before_lid(unit)),
        Card("safe-to-power", "Safe to power", Way.READ_DO, _safe_to_power(unit)),
        Card("water", "Water and pressure", Way.READ_DO, water),
        Card("heat", "Heat", Way.READ_DO, heat),
    ]
    return tuple(card for card in cards if card.items)


# --- safe to power ---------------------------------------------------------------------------------------


def seen(
    code: str,
    title: str,
    how_to: str,
    good: str,
    bad: str,
    *,
    stop: bool = False,
    needs_mains: bool = False,
    case_sensitive: bool = False,
    opens_case: bool = False,
    shuts_case: bool = False,
) -> Item:
    """Return an item that is seen: its good answer first. Each is the button's word and what it prints."""
    answers = (
        Answer("good", good.split(",")[0].capitalize(), good, True),
        Answer("bad", bad.split(",")[0].capitalize(), bad, False),
    )
    return Item(
        code,
        title,
        how_to,
        ItemKind.SEEN,
        answers=answers,
        stop=stop,
        needs_mains=needs_mains,
        case_sensitive=case_sensitive,
        opens_case=opens_case,
        shuts_case=shuts_case,
    )


def _safe_to_power(unit: Unit) -> tuple[Item, ...]:
    look = seen(
        "visual",
        "Plug, fuse, cord and case",
        "Unplugged. Look at pins, fuse, cord along its length, strain relief, case and plate.",
        "right, undamaged",
        "not right",
        stop=True,
        case_sensitive=True,
    )
    shut = seen(
        "case_shut",
        "Case shut, all screws in",
        "Count the screws. Nothing is left over on the bench.",
        "shut, all screws in",
        "not shut",
        stop=True,
        case_sensitive=True,
        shuts_case=True,
    )
    items = [shut, look]
    if unit.appliance.is_class_i:
        items.append(_earth())
    items.append(_insulation(unit))
    if needs_leakage(unit.profile, unit.test_volts, unit.appliance):
        items.append(_leakage(unit))
    return tuple(items)


def _earth() -> Item:
    return Item(
        "earth",
        "Earth path, plug to metal",
        "Unplugged. Earth pin to bare metal. Wiggle the cord while you read.",
        unit=Measure.EARTH_OHM.unit,
        stop=True,
        case_sensitive=True,
        instrument=InstrumentKind.EARTH,
        measure=Measure.EARTH_OHM,
    )


def _insulation(unit: Unit) -> Item:
    gentle = " Surge parts trip at 500 V: use 250 V." if unit.appliance.has_surge_parts else ""
    return Item(
        "insulation",
        f"Insulation at {unit.test_volts} V",
        f"Unplugged, switch on. Live and neutral joined, against earth and metal.{gentle}",
        unit=Measure.INSULATION_MOHM.unit,
        stop=True,
        case_sensitive=True,
        instrument=InstrumentKind.INSULATION,
        measure=Measure.INSULATION_MOHM,
    )


def _leakage(unit: Unit) -> Item:
    has_leakage = unit.profile.limit(Measure.LEAKAGE_MA, unit.appliance) is not None
    measured = Measure.LEAKAGE_MA if has_leakage else Measure.TOUCH_MA
    return Item(
        "leakage" if has_leakage else "touch",
        measured.label,
        "Mains is on: keep hands off. Use an RCD. Where the law asks for a licensed person, let one do it.",
        unit=measured.unit,
        stop=True,
        needs_mains=True,
        case_sensitive=True,
        instrument=InstrumentKind.LEAKAGE,
        measure=measured,
    )


# --- before the lid --------------------------------------------------------------------------------------


def _before_lid(unit: Unit) -> tuple[Item, ...]:
    parts = [
        seen(
            part.code,
            f"{part.name}, {part.rating}" if part.rating else part.name,
            "Put a finger on it. Read its rating. Follow both wires: nothing bridges it.",
            "right, present, not bridged",
            "wrong, missing or bridged",
            stop=True,
            opens_case=True,
        )
        for part in unit.parts
    ]
    return (*(parts or [_all_parts()]), *_plate(unit))


def _all_parts() -> Item:
    return seen(
        "safety_parts",
        "Cut-outs and safety valves",
        "The model notes list none. Find every one, touch it, read its rating, then add it to the notes.",
        "right, all present, none bridged",
        "wrong, missing or bridged",
        stop=True,
        opens_case=True,
    )


def _plate(unit: Unit) -> tuple[Item, ...]:
    volts = f"We have {unit.volts} V. " if unit.volts else ""
    plate = seen(
        "plate_volts",
        "Plate volts for this place",
        f"{volts}Read the plate on the machine itself.",
        "right for this place",
        "wrong for this place",
        stop=True,
    )
    plug = seen(
        "plug_fits",
        "Plug and fuse for this place",
        f"{_fuse_words(unit)}The plug is the one used here, not an adapter.",
        "right, both fit",
        "wrong, do not fit",
        stop=True,
    )
    return plate, plug


def _fuse_words(unit: Unit) -> str:
    if not (unit.place_has_fused_plugs and unit.watts):
        return ""
    try:
        return f"{measure(unit.watts, 'W')} wants a {fuse_rating_a(Decimal(unit.watts))} A fuse. "
    except ValueError:
        return "Too strong for a fused plug here: ask a licensed electrician. "


# --- water and pressure ----------------------------------------------------------------------------------


def _water(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER:
        return ()
    pumped = unit.pump != Pump.NONE
    items = [_leak_hot()]
    if pumped:
        items += [_relief(), _pressure()]
    items.append(_drip_cold())
    if pumped:
        items.append(_debit())
    return tuple(items)


def _leak_hot() -> Item:
    return seen(
        "leak_hot",
        "Leak after 30 minutes hot",
        "Case shut, hot for 30 minutes. Look under it, at the group and at the valves.",
        "none seen",
        "drips",
        stop=True,
        needs_mains=True,
        case_sensitive=True,
    )


def _drip_cold() -> Item:
    return seen(
        "drip_cold",
        "Drip when it stands cold",
        "Tank full, cold, left to stand. Look under it and at the group.",
        "none seen",
        "drips",
        stop=True,
        case_sensitive=True,
    )


def _relief() -> Item:
    return seen(
        "relief",
        "Relief valve lets go into the tray",
        "Blind basket in, pump on. Watch the drain: it must let go and shut again.",
        "let go, shut again",
        "did not let go",
        needs_mains=True,
    )


def _pressure() -> Item:
    return Item(
        "pressure",
        "Pressure at the group",
        "Blind basket in. Pump on, read after 10 seconds, pump off.",
        unit="bar",
        needs_mains=True,
        instrument=InstrumentKind.GAUGE,
    )


def _debit() -> Item:
    return Item(
        "debit",
        "Water through the empty group",
        "No handle in. Pump on for 10 seconds into a jug, then weigh it: 1 g is 1 ml.",
        unit="ml",
        needs_mains=True,
        instrument=InstrumentKind.SCALE,
        full_only=True,
    )


# --- heat ------------------------------------------------------------------------------------------------


def _heat(unit: Unit) -> tuple[Item, ...]:
    if unit.kind == Kind.GRINDER:
        return ()
    items = [_watts(), _ready(unit)]
    if unit.has_steam:
        items.append(_first_steam())
        if unit.kind in (Kind.SINGLE_BOILER, Kind.THERMOBLOCK, Kind.LEVER):
            items.append(_back_to_coffee())
    return (*items, _brew_water())


def _watts() -> Item:
    return Item(
        "watts_heating",
        "Watts while heating",
        "Plug-in meter, pump off. A half-dead element shows here.",
        unit="W",
        needs_mains=True,
        instrument=InstrumentKind.WATT,
    )


def _ready(unit: Unit) -> Item:
    usual = bands.warm_up_min(unit.kind)
    words = f" Usual for its kind: {number(usual[0])} to {number(usual[1])} min." if usual else ""
    return _timed("ready", "Minutes to ready", f"From cold, handle locked in, until the ready sign.{words}", "min")


def _first_steam() -> Item:
    return _timed("steam_ready", "Seconds to first dry steam", "From ready: steam on, water out first, then dry.", "s")


def _back_to_coffee() -> Item:
    return _timed(
        "back_to_coffee",
        "Seconds back to coffee after steam",
        "Steam off, run water as the notes say, until it is at coffee heat again.",
        "s",
    )


def _timed(code: str, title: str, how_to: str, unit: str) -> Item:
    return Item(code, title, how_to, unit=unit, needs_mains=True, instrument=InstrumentKind.TIMER)


def _brew_water() -> Item:
    return Item(
        "brew_water",
        "Brewing water, five shots",
        "Five draws of water, one a minute. Keep the lowest and the highest.",
        unit="°C",
        needs_mains=True,
        instrument=InstrumentKind.THERMOMETER,
        series=True,
        full_only=True,
    )
