"""Three invented machines as sheet content, and photos drawn by script: nothing here is a real thing."""

import hashlib
import io
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from handover.sheet import (
    Adjusting,
    BigFigure,
    BuyerAddress,
    CareRow,
    Change,
    Condition,
    Defects,
    Dial,
    DialKind,
    Grinder,
    MarkShown,
    Paper,
    ReadingRow,
    Row,
    Run,
    SafetyMessage,
    SettingsCard,
    SheetContent,
    Signal,
    Step,
    Workshop,
)
from workshop.bench.chart import CurvePoint, ShotChart, ShotPoint

N = "\u00a0"
WORKSHOP = Workshop("The Tram Shed Workshop", "Weir Lane", f"01632{N}960147")
ADDRESS = BuyerAddress(
    "https://tramshed.example/s/7f3k9q", "tramshed.example/s/7f3k9q", "Large print, and these dates for your phone:"
)
MARK_WORDS = (
    f"Left, low, back: scratch 32{N}mm, seen at arm’s length",
    f"Top, front: dent 6{N}mm, felt with a finger",
    f"Drip tray: stain 20{N}mm, seen only close up",
    f"Right, middle: scratch 14{N}mm, seen only close up",
    f"Back, low: rust 5{N}mm, seen at arm’s length",
    f"Front, high: stain 9{N}mm, seen only close up",
)
SAFETY = (
    SafetyMessage(Signal.WARNING, "Electric shock can kill.", "Unplug before you clean. Never open the case."),
    SafetyMessage(
        Signal.WARNING,
        "Hot water under pressure burns.",
        f"Never turn the filter handle while coffee runs. Wait 10{N}seconds after it stops.",
    ),
    SafetyMessage(
        Signal.CAUTION,
        "Steam and hot metal burn.",
        "Point the steam pipe into the jug, away from hands. Keep children away.",
    ),
    SafetyMessage(Signal.NOTICE, "The pump can burn out.", "Never run it with the tank empty."),
)


def _photo(number: int) -> bytes:
    """A grey panel with slots and one ringed flaw, different for every number."""
    from PIL import Image, ImageDraw

    picture = Image.new("L", (640, 480), 205)
    pen = ImageDraw.Draw(picture)
    pen.rounded_rectangle((60, 60, 580, 400), 24, fill=178, outline=70, width=4)
    for slot in range(5):
        pen.line((330, 110 + slot * 26, 540, 110 + slot * 26), fill=90, width=8)
    x, y = 130 + (number * 67) % 360, 260 + (number * 29) % 90
    pen.line((x - 30, y + 6, x, y - 8, x + 34, y + 2), fill=240, width=5)
    pen.ellipse((x - 60, y - 60, x + 60, y + 60), outline=255, width=9)
    pen.ellipse((x - 65, y - 65, x + 65, y + 65), outline=20, width=5)
    kept = io.BytesIO()
    picture.save(kept, "JPEG", quality=80)
    return kept.getvalue()


PHOTOS = {hashlib.sha256(data).hexdigest(): data for data in map(_photo, range(1, 31))}
SHAS = tuple(PHOTOS)


def photo(sha: str) -> bytes:
    """The store of the examples: bytes by their SHA-256; KeyError for an unknown address."""
    return PHOTOS[sha]


def condition(count: int, score: str = "9.0", *, photos: bool = True) -> Condition:
    """A condition with `count` marks, each with its own photo."""
    return Condition(
        Decimal(score),
        tuple(MarkShown(at + 1, MARK_WORDS[at % len(MARK_WORDS)], SHAS[at] if photos else None) for at in range(count)),
    )


def _runs(text: str) -> tuple[Run, ...]:
    """Words with *heavy* stretches marked by stars."""
    return tuple(Run(part, bold=at % 2 == 1) for at, part in enumerate(text.split("*")) if part)


def _step(text: str) -> Step:
    return Step(_runs(text))


def _curve(settings: range, time_s: Callable[[int], Decimal]) -> tuple[CurvePoint, ...]:
    return tuple(
        CurvePoint(Decimal(at), time_s(at), time_s(at) * Decimal("0.87"), time_s(at) * Decimal("1.14"))
        for at in settings
    )


def heat_exchanger(paper: Paper = Paper.A4, marks: int = 3) -> SheetContent:
    """Built-in timed grinder with a clock-face dose dial, brewing gauge, hot water tap."""
    return SheetContent(
        name="Maple Harbour",
        kind_words="One-group machine with grinder",
        serial="0456-22",
        workshop=WORKSHOP,
        number=1,
        issued_on=date(2026, 5, 14),
        paper=paper,
        safety=SAFETY,
        steps=(
            _step("*Fill* the tank with cold water. Plug in. Switch on."),
            _step(f"*Warm up for 15{N}minutes* with the empty filter handle (portafilter) locked in, as in step{N}5."),
            _step(f"*Rinse.* Run water for 5{N}seconds, no coffee in. Take the handle out. Dry it and the basket."),
            _step(
                f"*Grind.* Grinder at *12*, dose dial at *half past{N}2*. Press three times, 5.5{N}g each: "
                f"*16.5{N}g*. Spread it. Press it flat (tamp), 4{N}mm under the rim."
            ),
            _step(
                f"*Lock in.* Wipe the rim. Turn the handle firmly to *half past{N}6* (6{N}points at you). "
                f"Kitchen scale and cup under it, scale to{N}0."
            ),
            _step(
                f"*Pour.* Start pump and timer together. Stop at *34{N}g* in the cup, after *23 to 30{N}seconds*. "
                f"Wait 10{N}seconds before you turn the handle."
            ),
        ),
        settings=SettingsCard(
            f"measured on this machine, 12{N}May",
            (
                BigFigure(Decimal("16.5"), "g", "coffee in"),
                BigFigure(Decimal(34), "g", "in the cup"),
                BigFigure(Decimal("26.5"), "s", "pump time"),
            ),
            Grinder(built_in=True, setting="12 (1 is finest)"),
            (
                Dial(DialKind.CLOCK, "Dose dial", "2:30", Decimal("2.5")),
                Dial(DialKind.HANDLE, "Handle", "6:30", Decimal("6.5")),
                Dial(DialKind.ZONE, "Gauge", "10 to 2", Decimal(10), Decimal(2)),
            ),
            (
                Row("Grind", f"3 presses, 5.5{N}g each"),
                Row("Basket", "double, one wall"),
                Row("Steam", f"ready after 40{N}s"),
                Row("Roast", f"medium, 28{N}April"),
            ),
        ),
        adjusting=Adjusting(
            (
                Change("Fast, thin, sour", "Finer", f"grinder to{N}10"),
                Change("Slow, dark, bitter", "Coarser", f"grinder to{N}14"),
            ),
            f"Two steps are about 5{N}seconds. Turn it only while it grinds. Pour the next coffee away, judge the one "
            "after.",
            ShotChart(
                points=(
                    ShotPoint(Decimal(10), Decimal(33)),
                    ShotPoint(Decimal(12), Decimal("26.5")),
                    ShotPoint(Decimal(15), Decimal(21)),
                    ShotPoint(Decimal(18), Decimal("17.5")),
                ),
                curve=_curve(
                    range(9, 20), lambda at: (Decimal("32.2") * Decimal("0.926") ** (at - 10)).quantize(Decimal("0.1"))
                ),
                window_low_s=Decimal(23),
                window_high_s=Decimal(30),
                chosen=ShotPoint(Decimal(12), Decimal("26.5")),
            ),
        ),
        baskets=(
            Row("Double", f"16.5{N}g: start here"),
            Row("Single", f"8{N}g, on the scale"),
            Row("Two-wall", "ready-ground"),
            Row("Blind", "cleaning only"),
            Row("Left tap", "hot water"),
        ),
        milk=(
            f"Open into a cloth, 2{N}s",
            "Tip just under the milk",
            f"Stop at 60{N}°C: the jug is too hot to hold",
            f"Wipe. Open again, 2{N}s",
        ),
        after_use=(
            f"After milk: run water 5{N}s, then coffee again",
            "Knock out, rinse basket",
            "Empty the tray",
            "Leave the handle loose",
        ),
        never=(
            "Never mix descaler with bleach: the gas harms the lungs.",
            "No dishwasher for handle and baskets.",
        ),
        care_note="Descaler is an acid: shield eyes and hands. Flush twice afterwards, drink none of it.",
        care=(
            CareRow("Flush with the blind basket, water only (backflush)", f"21{N}May{N}2026", "every week"),
            CareRow(f"Flush with 1{N}g of powder. Soak basket and screen", f"14{N}June{N}2026", "every month"),
            CareRow("Brush out the grinder", f"14{N}June{N}2026", "every month"),
            CareRow(f"Descale: hard water, 280{N}mg/L, 4 cups a day", f"25{N}June{N}2026", f"every 6{N}weeks"),
            CareRow(f"Change seal and screen, sooner if handle passes{N}6", f"14{N}May{N}2027", "every year"),
        ),
        done=("Descaled twice, rinsed clean", "New group seal and shower screen", "New pump, new safety valve"),
        left=("Heating element: tested good", "Grinder burrs: little worn", "Case: marks not painted over"),
        readings=(
            ReadingRow("Earth path, plug to metal", f"0.139{N}ohm or less", f"0.09{N}ohm", f"Ana, 12{N}May"),
            ReadingRow(f"Insulation at 500{N}V", f"0.30{N}megohm or more", f"over 99.9{N}megohm", f"Ana, 12{N}May"),
            ReadingRow(f"Leaks, 30{N}minutes hot", "none", "none seen", f"Sam, 12{N}May"),
            ReadingRow("Brewing pressure", f"8.5 to 9.5{N}bar", f"9.1{N}bar", f"Sam, 12{N}May"),
            ReadingRow("Brewing water, 5 coffees", f"88 to 96{N}°C", f"92 to 93{N}°C", f"Sam, 12{N}May"),
            ReadingRow("Two coffees in a row", f"within 3{N}s", f"26{N}s and 27{N}s", f"Sam, 12{N}May"),
        ),
        more_readings=(
            ReadingRow("Seconds to first dry steam", "recorded, no limit", f"40{N}s", f"Sam, 12{N}May"),
            ReadingRow("Hot water at the tap", f"85{N}°C or more", f"91{N}°C", f"Sam, 12{N}May"),
        ),
        readings_note="Earth and insulation: UK in-service code of practice, 5th edition. "
        "The other limits are our own.",
        condition=condition(marks),
        warranty=_runs(
            f"If anything we fitted or tested fails before *14{N}May{N}2027*, call us: we collect it and mend it, or "
            "pay you back. Not scale, drops or an opened case. Your legal rights stay as they are."
        ),
        buyer_address=ADDRESS,
        received=("filter handle", "tamper", "milk jug", f"4 baskets (page{N}1)", "brush", "maker’s manual"),
        signatures=(f"Buyer, marks 1 to {marks} seen" if marks else "Buyer", "For the workshop"),
    )


def lever_valve(paper: Paper = Paper.A4, marks: int = 2) -> SheetContent:
    """Lever-valve single boiler with a separate grinder that stays with us: no dial number, no chart."""
    card = SettingsCard(
        f"measured on this machine, 9{N}June",
        (
            BigFigure(Decimal(18), "g", "coffee in"),
            BigFigure(Decimal(36), "g", "in the cup"),
            BigFigure(Decimal(28), "s", "pump time"),
        ),
        Grinder(built_in=False),
        (Dial(DialKind.HANDLE, "Handle", "6 o’clock", Decimal(6)),),
        (
            Row("Basket", "double, one wall"),
            Row("Steam", f"ready after 75{N}s"),
            Row("Cool", f"run 2{N}cups of water"),
            Row("Roast", f"dark, 2{N}June"),
        ),
    )
    rule = Adjusting(
        (
            Change("Fast, thin, sour", "Finer", "your grinder, one step"),
            Change("Slow, dark, bitter", "Coarser", "your grinder, one step"),
        ),
        f"Aim for 25 to 32{N}seconds. Change the grinder only, one step at a time, and judge the second coffee.",
    )
    whole = heat_exchanger(paper, marks)
    steps = (
        _step(f"*Dose.* Weigh *18{N}g* of ground coffee into the double basket. Spread it. Press it flat (tamp)."),
        _step(f"*Lock in.* Wipe the rim. Turn the handle firmly to *6{N}o’clock*. Scale and cup under it."),
        _step(f"*Pour.* Lift the lever, start the timer. Lower it at *36{N}g*, after *25 to 32{N}seconds*."),
    )
    return replace(
        whole,
        name="Juniper Kettle",
        kind_words="Single boiler with lever valve",
        serial="cannot be read",
        number=4,
        issued_on=date(2026, 6, 11),
        steps=(*whole.steps[:3], *steps),
        settings=card,
        adjusting=rule,
        baskets=(Row("Double", f"18{N}g: start here"), Row("Blind", "cleaning only")),
        condition=condition(marks, "8.4"),
        not_measured=f"Not measured here: insulation at 250{N}V, brewing pressure (no gauge fits this group).",
        readings=whole.readings[:3],
        defects=Defects("the hot-water tap drips one drop a minute.", "Buyer, told of this"),
    )


def thermoblock(paper: Paper = Paper.LETTER, marks: int = 0) -> SheetContent:
    """Thermoblock with built-in grinder and taught buttons; no public address, so no QR."""
    whole = heat_exchanger(paper, marks)
    card = replace(
        whole.settings,
        figures=(
            BigFigure(Decimal("17.5"), "g", "coffee in"),
            BigFigure(Decimal(38), "g", "in the cup"),
            BigFigure(Decimal(27), "s", "pump time"),
        ),
        grinder=Grinder(built_in=True, setting="7 of 16"),
        dials=(),
        rows=(Row("Button", f"2 cups gives 38{N}g"), Row("Kind", "timed: teach it again"), Row("Basket", "double")),
    )
    rule = Adjusting(
        (
            Change("Fast, thin, sour", "Finer", f"grinder to{N}6, then teach the button"),
            Change("Slow, dark, bitter", "Coarser", f"grinder to{N}8, then teach the button"),
        ),
        f"One step is about 4{N}seconds. Turn it only while it grinds.",
        ShotChart(
            points=(
                ShotPoint(Decimal(5), Decimal("36.5")),
                ShotPoint(Decimal(6), Decimal("31.5")),
                ShotPoint(Decimal(7), Decimal(27)),
                ShotPoint(Decimal(7), Decimal("27.5")),
            ),
            curve=(),
            window_low_s=Decimal(25),
            window_high_s=Decimal(31),
            chosen=ShotPoint(Decimal(7), Decimal(27)),
        ),
    )
    steps = (
        _step(f"*Grind.* Grinder at *7*, double button: *17.5{N}g*. Spread it. Press it flat (tamp)."),
        _step("*Lock in.* Wipe the rim. Turn the handle firmly until it stops. Cup under it."),
        _step(f"*Pour.* Press *2{N}cups*: it stops by itself at about *38{N}g*."),
    )
    return replace(
        whole,
        name="Copper Lantern",
        kind_words="Thermoblock machine with built-in grinder",
        serial="TB-77120",
        number=12,
        steps=(*whole.steps[:3], *steps),
        settings=card,
        baskets=(Row("Double", f"17.5{N}g: start here"), Row("Two-wall", "ready-ground")),
        adjusting=rule,
        milk=(),
        buyer_address=None,
        condition=condition(marks, "10.0"),
    )
