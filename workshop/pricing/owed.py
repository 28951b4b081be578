"""Who owes whom. (Frame only; the room fills it.)"""

from dataclasses import dataclass
from datetime import date

from workshop.core.models import Shop


@dataclass(frozen=True, slots=True)
class Line:
    """One sum owed to us or by us."""

    person: str
    words: str
    amount_minor: int
    to_us: bool
    since_on: date
    shop: Shop
    url: str = ""


def shop() -> Shop | None:
    """Return the workshop, whose currency the sums are in."""
    return Shop.objects.filter(pk=1).first()


def lines() -> list[Line]:
    """Return what is owed, oldest first."""
    return []
