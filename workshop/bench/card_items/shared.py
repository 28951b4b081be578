"""How an item of a card is made."""

from workshop.bench.cards import Answer, Item, ItemKind
from workshop.core.words import InstrumentKind


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
    mains_side: bool = False,
    why: str = "",
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
        mains_side=mains_side,
        why=why,
    )


def timed(code: str, title: str, how_to: str, unit: str, why: str) -> Item:
    """Return an item whose minutes or seconds are timed with mains on."""
    return Item(code, title, how_to, unit=unit, needs_mains=True, instrument=InstrumentKind.TIMER, why=why)
