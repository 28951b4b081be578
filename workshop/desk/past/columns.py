"""What a file from before this book can tell, and which of its columns tells it."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from workshop.desk.words import Past


class Holds(StrEnum):
    """What the cells of a column are read as."""

    TEXT = "text"
    KIND = "kind"
    MONEY = "money"
    DAY = "day"
    WHOLE = "whole number"
    HOURS = "hours"
    SCORE = "score"
    YES_NO = "yes or no"


@dataclass(frozen=True, slots=True)
class Column:
    """One thing we can take in: its code, what people call it, and headings it is known by (folded)."""

    code: str
    label: str
    holds: Holds
    known_as: tuple[str, ...]
    needed: bool = False
    longest: int = 0
    hint: str = ""


_MAKER = Column("maker", "Maker", Holds.TEXT, ("maker", "make", "brand", "manufacturer"), True, 60)
_MODEL = Column("model", "Model", Holds.TEXT, ("model", "machine", "modelname"), True, 80)
_KIND = Column("kind", "Kind", Holds.KIND, ("kind", "type", "sort"), hint="Needed where the model is new here.")
_SERIAL = Column("serial", "Serial number", Holds.TEXT, ("serial", "serialnumber", "serialno", "sn"), longest=40)
_PAID = Column(
    "price_paid", "Price paid", Holds.MONEY, ("pricepaid", "paid", "cost", "boughtfor", "purchaseprice"), True
)
_BOUGHT = ("boughton", "bought", "purchasedon", "purchasedate", "datebought", "acquired", "acquiredon")
_REFERENCE = Column(
    *("reference", "Your own reference", Holds.TEXT, ("reference", "ref", "number", "stocknumber", "id", "no")),
    longest=80,
    hint="A number of your own that tells one row from another.",
)

COLUMNS: dict[str, tuple[Column, ...]] = {
    Past.STOCK: (
        _MAKER,
        _MODEL,
        _KIND,
        _SERIAL,
        _PAID,
        Column("bought_on", "Bought on", Holds.DAY, (*_BOUGHT, "date"), needed=True),
        Column("seller", "Seller's name", Holds.TEXT, ("seller", "sellersname", "boughtfrom", "from"), longest=120),
        Column("place", "Place", Holds.TEXT, ("place", "shelf", "location", "where"), longest=40),
        Column("said", "What the seller said", Holds.TEXT, ("said", "wordssaid", "notes", "note"), longest=1000),
        _REFERENCE,
    ),
    Past.SALES: (
        _MAKER,
        _MODEL,
        _KIND,
        _SERIAL,
        Column("sold_on", "Sold on", Holds.DAY, ("soldon", "sold", "saledate", "datesold", "date"), needed=True),
        Column("price_sold", "Price sold", Holds.MONEY, ("pricesold", "soldfor", "saleprice", "price"), needed=True),
        _PAID,
        Column("bought_on", "Bought on", Holds.DAY, _BOUGHT, hint="Left out, the day of the sale stands in."),
        Column("minutes", "Minutes worked", Holds.WHOLE, ("minutes", "minutesworked", "min", "time", "work")),
        Column("hours", "Hours worked", Holds.HOURS, ("hours", "hoursworked", "hrs", "h"), hint="Like 3.5."),
        Column("parts_cost", "Parts cost", Holds.MONEY, ("parts", "partscost", "costofparts")),
        Column("not_mended", "Not mended", Holds.YES_NO, ("notmended", "untested", "faulty", "soldfaulty")),
        Column("score", "Condition score", Holds.SCORE, ("score", "conditionscore", "condition")),
        _REFERENCE,
    ),
}


def column(kind: str, code: str) -> Column:
    """Return one column of a kind of file. :raises KeyError: when there is no such column."""
    return {each.code: each for each in COLUMNS[kind]}[code]


def fold(heading: str) -> str:
    """Return a heading as it is compared: small letters and figures only."""
    return re.sub(r"[\W_]+", "", heading.casefold())


def guess(kind: str, headings: Sequence[str]) -> dict[str, int]:
    """Return our field to the file's column, by the headings; each column and each field once, the first wins."""
    found: dict[str, int] = {}
    taken: set[int] = set()
    folded = [fold(heading) for heading in headings]
    for each in COLUMNS[kind]:
        for name in (fold(each.label), *each.known_as):
            place = next((i for i, heading in enumerate(folded) if heading == name and i not in taken), None)
            if place is not None:
                found[each.code] = place
                taken.add(place)
                break
    return found


def missing(kind: str, chosen: Mapping[str, int]) -> list[str]:
    """Return the labels of needed columns that no column of the file is matched to."""
    return [each.label for each in COLUMNS[kind] if each.needed and each.code not in chosen]
