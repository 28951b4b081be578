"""Words of a recipe that stand on a scale: where the dose is set, where the gauge's needle stood."""

from decimal import Decimal

from workshop.bench import dosing
from workshop.core.models import ModelNotes
from workshop.core.templatetags.measures import NBSP, number
from workshop.trade import scales
from workshop.trade.scales import Scale, ScaleKind

_GAUGE_BAR = Scale(ScaleKind.BAR, Decimal(0), Decimal(60), Decimal("0.1"), None)  # as the shot's own box


def dose_dial(typed: str, notes: ModelNotes) -> str:
    """Return where the dose is set, in the words of its scale. :raises ValueError: with a sentence.

    Where the notes name no scale it is seconds, or a dial read like a clock face.
    """
    scale = dosing.scale_of(notes)
    if notes.dose_scale:
        return scales.say(scale, scales.parse(scale, typed))
    for each in (scale, scales.CLOCK_FACE):
        try:
            return scales.say(each, scales.parse(each, typed))
        except ValueError:
            continue
    raise ValueError("Say it in seconds, or as on a clock face: half past 2.")


def gauge_zone(typed: str, notes: ModelNotes) -> str:
    """Return where the needle stood, one place or two ends. :raises ValueError: with a sentence.

    Clock words where the model notes say them of this gauge, else bar; or either, for the notes to learn from.
    """
    parts = " ".join(typed.lower().split()).split(" to ")
    # "To" stands inside a clock's own words too, as in quarter to three: each place to part them is tried.
    ways = [[typed], *([" to ".join(parts[:at]), " to ".join(parts[at:])] for at in range(1, len(parts)))]
    for scale in (scales.CLOCK_FACE,) if notes.gauge_from else (_GAUGE_BAR, scales.CLOCK_FACE):
        for ends in ways:
            try:
                return _zone(scale, [scales.parse(scale, end) for end in ends])
            except ValueError:
                continue
    in_bar = "" if notes.gauge_from else "in bar, like 9, or "
    raise ValueError(f"Say it {in_bar}as on a clock face, to the quarter: 10 o'clock to 2 o'clock.")


def _zone(scale: Scale, ends: list[Decimal]) -> str:
    if scale.kind is ScaleKind.BAR:
        return f"{' to '.join(dict.fromkeys(number(end) for end in ends))}{NBSP}bar"
    return " to ".join(dict.fromkeys(scales.say(scale, end) for end in ends))
