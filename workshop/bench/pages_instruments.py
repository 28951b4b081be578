"""What the instruments of an item ask before it is read: numbers, pass or fail, whose calibration has run out."""

from dataclasses import dataclass
from datetime import date

from workshop.bench.cards import Item
from workshop.bench.limits import BenchLimit
from workshop.core.models import Instrument
from workshop.core.templatetags.measures import day, measure
from workshop.trade.safety.electrical import OwnLimit, loosens


@dataclass(frozen=True, slots=True)
class Asks:
    """How one item may be read here. `numbers`: a value is asked; `testers`: a pass or a fail, each with its words."""

    numbers: bool = True
    testers: tuple[str, ...] = ()
    overdue: tuple[str, ...] = ()


def asks_of(item: Item, limit: BenchLimit | None, today: date) -> Asks:
    """Return how an item may be read with the instruments owned: one query."""
    if item.seen or item.instrument is None:
        return Asks()
    owned = list(Instrument.objects.filter(kind=item.instrument.value, retired=False).order_by("name", "pk"))
    testers = [each for each in owned if each.pass_fail_only]
    return Asks(
        numbers=len(testers) < len(owned) or not owned,
        testers=tuple(_tester_words(each, item, limit) for each in testers),
        overdue=tuple(
            f"{each}: calibration was due {day(each.calibration_due_on)}."
            for each in owned
            if each.calibration_due_on and each.calibration_due_on < today
        ),
    )


def _tester_words(tester: Instrument, item: Item, limit: BenchLimit | None) -> str:
    """Say what a tester is set to; and, where that is looser than the limit, that its pass shows nothing."""
    if tester.set_limit is None:
        return f"{tester}: nobody said what it is set to. Say it at Our workshop."
    words = f"{tester} is set to {measure(tester.set_limit, item.unit)}."
    low = limit is not None and limit.low is not None
    own = OwnLimit(tester.set_limit, None) if low else OwnLimit(None, tester.set_limit)
    if limit is not None and loosens((limit.low, limit.high), own):
        return f"{words} That is looser than the limit: a pass there is no pass here."
    return words
