"""The limit of each item, shown before typing, and the judgement after: electrical from the profile, else bands."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from workshop.bench.cards import Item, Unit
from workshop.bench.words import ends_words
from workshop.core.templatetags.measures import number
from workshop.core.words import Outcome, Pump
from workshop.trade.coffee import bands
from workshop.trade.coffee.buttons import ButtonVerdict, button_result
from workshop.trade.coffee.sources import BREW_SPREAD_C, BUTTON_REPEAT_G, DOSE_REPEAT_G, SPOUT_SHARE
from workshop.trade.safety import electrical
from workshop.trade.safety.electrical import Measure, MissingFact, OwnLimit, combine
from workshop.trade.sources import COMMON_PRACTICE, HOUSE_POLICY, Seen, Source

__all__ = ["BenchLimit", "MissingFact", "Usual", "judge", "limit_for", "place_limit", "seen_limit"]

OUR_OWN = "our own limit"
SOURCE_LONGEST = 300  # as the columns of a reading
SPREAD_WORDS = f"no more than {number(BREW_SPREAD_C.value)} °C apart"
# House policy where a place only records: a meter beyond its range on the bad side has shown what is wrong.
_BEYOND_RANGE = {
    Measure.EARTH_OHM: ">",
    Measure.INSULATION_MOHM: "<",
    Measure.LEAKAGE_MA: ">",
    Measure.TOUCH_MA: ">",
}


@dataclass(frozen=True, slots=True)
class BenchLimit:
    """A limit with its words, both ends inclusive, and where it comes from."""

    low: Decimal | None
    high: Decimal | None
    words: str
    head: str = "Limit"
    edition: str = ""
    source: str = ""
    own: str = ""  # how our own limit changed it, in words; then the edition is what it was compared with

    @property
    def from_words(self) -> str:
        """Say where it comes from; empty where nothing more is known than its head says."""
        return limit_from(self.edition, self.own)


def limit_from(edition: str, own: str) -> str:
    """Say where a limit comes from: an edition, or we ourselves and what our own limit was compared with."""
    if not own:
        return edition
    return f"{OUR_OWN}, compared with {edition}" if edition else OUR_OWN


@dataclass(frozen=True, slots=True)
class Usual:
    """What earlier units of a model let through in 10 s: their middle, and how many units it rests on."""

    ml: Decimal
    units: int


def limit_for(item: Item, unit: Unit, usual: Usual | None = None) -> BenchLimit | None:
    """Return the limit of one item on one machine, or None where it is recorded only.

    :raises MissingFact: when the limit depends on a fact of the machine that is not known
    """
    base = place_limit(item, unit, usual)
    own = unit.own.get(item.measure.value if item.measure else item.code)
    scaled = _scaled(own, item, unit, usual) if own else None
    return _with_own(item, base, scaled) if scaled else base


def place_limit(item: Item, unit: Unit, usual: Usual | None = None) -> BenchLimit | None:
    """Return the limit without our own: of the place's profile, or the band of the bench.

    :raises MissingFact: when the limit depends on a fact of the machine that is not known
    """
    if item.measure is not None:
        return _electrical(item, unit)
    if item.code == "debit":
        return _water(usual) if usual else None
    found = _LIMITS.get(item.code)
    return found(unit) if found else None


def _scaled(own: OwnLimit, item: Item, unit: Unit, usual: Usual | None) -> OwnLimit | None:
    """Return our own limit in the item's unit: a share is of rated watts, or of the model's usual water."""
    if item.code not in _SHARES:
        return own
    whole = usual.ml if item.code == "debit" and usual else Decimal(_SHARES[item.code](unit) or 0)
    if not whole:
        return None
    low, high = (None if end is None else round(end * whole / 100, 1) for end in (own.low, own.high))
    return OwnLimit(low, high, own.reason)


# What a share in percent is of; the usual water comes from earlier units, not from the machine.
_SHARES: dict[str, Callable[[Unit], int | None]] = {
    "watts_heating": lambda unit: unit.watts,
    "watts_pumping": lambda unit: unit.pump_watts,
    "steam_power": lambda unit: unit.steam_rating_w,
    "debit": lambda unit: None,
}


def _with_own(item: Item, base: BenchLimit | None, own: OwnLimit) -> BenchLimit | None:
    """Return the limit that counts: the stricter end, the looser one only with its reason, and how it came."""
    counts = combine((base.low, base.high) if base else (None, None), own)
    if not (counts.tightened or counts.loosened):
        return base
    words = ends_words(counts.low, counts.high, item.unit)
    if item.code == "brew_water":
        words = f"{words}, {SPREAD_WORDS}"
    if base is None:
        return BenchLimit(counts.low, counts.high, words, "Our own limit", "", OUR_OWN, OUR_OWN)
    said = f"our own limit, stricter than {base.words}"
    if counts.loosened:
        said = f"our own limit, wider than {base.words}, because {own.reason}"
    return BenchLimit(counts.low, counts.high, words, "Our own limit", base.edition, OUR_OWN, said)


def seen_limit(item: Item) -> str:
    """Return the limit of a thing that is seen, in words: what it must look like."""
    good = item.answers[0].words
    return "none" if good == "none seen" else good


def _electrical(item: Item, unit: Unit) -> BenchLimit | None:
    limit = unit.profile.limit(item.measure, unit.appliance) if item.measure else None
    if limit is None:
        return None
    head = f"Limit, {unit.cord_words}" if item.code == "earth" and unit.cord_words and "cord" not in limit.words else ""
    if item.measure is Measure.INSULATION_MOHM and unit.watts and unit.appliance.heating_watts:
        head = f"Limit, for {number(unit.watts)} W heating"
    edition = f"{unit.profile.title}, {limit.edition}"[:SOURCE_LONGEST]
    source = f"{limit.source.code} {limit.source.title}"[:SOURCE_LONGEST]
    return BenchLimit(limit.low, limit.high, limit.words, head or "Limit", edition, source)


def _band(band: bands.Band) -> BenchLimit:
    words = ends_words(band.low, band.high, band.unit)
    return BenchLimit(band.low, band.high, words, "Limit", _edition(band.sources), band.source_words[:SOURCE_LONGEST])


def _edition(sources: Sequence[Source]) -> str:
    """Say what stands behind a limit that is no law: common practice, or our choice among published figures."""
    practice = all(source.seen is Seen.COMMON_PRACTICE for source in sources)
    return f"{COMMON_PRACTICE.title}, {COMMON_PRACTICE.where}" if practice else HOUSE_POLICY.title


def _brewing_water(unit: Unit) -> BenchLimit:
    band = _band(bands.brewing_water())
    return replace(band, words=f"{band.words}, {SPREAD_WORDS}")


def _water(usual: Usual) -> BenchLimit:
    units = "1 earlier unit" if usual.units == 1 else f"{usual.units} earlier units"
    head = f"Limit, from {number(round(usual.ml))} ml of {units} of this model"
    return replace(_band(bands.water_let_through(usual.ml)), head=head)


def _ready(unit: Unit) -> BenchLimit | None:
    if not unit.ready_high_min:
        return None
    words = f"{unit.ready_high_min} min or less"
    return BenchLimit(None, Decimal(unit.ready_high_min), words, "Limit, from the model notes", "", "model notes")


def _watts(unit: Unit) -> BenchLimit | None:
    return _against_plate(unit.watts, electrical.rated_watts_band, "on the plate")


def _pump_watts(unit: Unit) -> BenchLimit | None:
    return _against_plate(unit.pump_watts, electrical.pump_watts_band, "of the pump")


def _against_plate(
    watts: int | None, band_of: Callable[[Decimal], electrical.WattsBand], where: str
) -> BenchLimit | None:
    """Return the band about rated watts, None where they are not known or no figure is."""
    if not watts:
        return None
    try:
        band = band_of(Decimal(watts))
    except ValueError:
        return None
    words = f"{number(band.low)} to {number(band.high)} W"
    source = f"{band.source.code} {band.source.title}"[:SOURCE_LONGEST]
    edition = "From memory, not checked against the text" if band.source.seen is Seen.MEMORY else ""
    return BenchLimit(band.low, band.high, words, f"Limit, for {number(watts)} W {where}", edition, source)


def _steam(unit: Unit) -> BenchLimit | None:
    rated = unit.steam_rating_w
    if not rated:
        return None
    where = "of the boiler" if unit.boiler_watts else "on the plate"
    return replace(_band(bands.steam_power(Decimal(rated))), head=f"Limit, half of {number(rated)} W {where}")


def _apart(words: str, source: Source) -> BenchLimit:
    """Return a limit on how far values of a series lie apart: it has no ends of its own."""
    return BenchLimit(None, None, words, "Limit", _edition([source]), f"{source.code} {source.title}"[:SOURCE_LONGEST])


_LIMITS: dict[str, Callable[[Unit], BenchLimit | None]] = {
    "pressure": lambda unit: _band(bands.blind_pressure(rotary=unit.pump == Pump.ROTARY)),
    "pressure_shot": lambda unit: _band(bands.in_shot_pressure()),
    "brew_water": _brewing_water,
    "hot_water": lambda unit: _band(bands.hot_water()),
    "watts_heating": _watts,
    "watts_pumping": _pump_watts,
    "ready": _ready,
    "steam_power": _steam,
    "drip_stop": lambda unit: _band(bands.drip_stop()),
    "button_repeat": lambda unit: _apart(
        f"each within {number(BUTTON_REPEAT_G.value)} g of their mean", BUTTON_REPEAT_G.source
    ),
    "dose_repeat": lambda unit: _apart(
        f"each within {number(DOSE_REPEAT_G.value)} g of their mean", DOSE_REPEAT_G.source
    ),
    "spout_balance": lambda unit: _apart(
        f"within {number(100 * SPOUT_SHARE.value)} % of each other", SPOUT_SHARE.source
    ),
}


def judge(item: Item, limit: BenchLimit | None, values: Sequence[Decimal], *, sign: str = "") -> Outcome:
    """Compare inclusively; a sign means the meter's range ended there and shows one side only.

    `values`: the one that was read, or every one of a series, which must also agree among themselves.
    """
    if limit is None:
        beyond = item.measure is not None and sign != "" and _BEYOND_RANGE.get(item.measure) == sign
        return Outcome.FAIL if beyond else Outcome.RECORDED
    band = bands.Band(limit.low, limit.high, item.unit, ())
    agree = _AGREE.get(item.code, _no_rule)
    inside = all(band.holds(value, sign=sign) for value in values) and agree(values)
    return Outcome.PASS if inside else Outcome.FAIL


def _no_rule(values: Sequence[Decimal]) -> bool:
    return True


_AGREE: dict[str, Callable[[Sequence[Decimal]], bool]] = {
    "brew_water": lambda values: bands.spread_is_usual(min(values), max(values)),
    "button_repeat": lambda values: button_result(values).verdict is ButtonVerdict.HOLDS,
    "dose_repeat": bands.doses_agree,
    "spout_balance": lambda values: bands.spouts_agree(*values),
}
