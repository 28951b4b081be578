"""Mend it, strip it, pass it on or give it back: what each way still leaves, from today on.

Money already spent is the same whichever way is taken, so it is left out (the short-run rule of source M-27).
What is left is a price less what is still to be spent on it and on selling it, which is what stock would
fetch (IAS 2.6, source M-19). Amounts are minor units, times minutes. Nothing here is a legal amount.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from workshop.trade.money.costing import labour_minor
from workshop.trade.money.price import profit_at
from workshop.trade.money.tax import tax_minor, whole
from workshop.trade.money.terms import SumLine, Terms
from workshop.trade.sources import HOUSE_POLICY, Figure

OUT_OF = 10  # chances are said as people say them: about 8 in 10
COMES_RIGHT = Figure(Decimal(8), "times in 10", HOUSE_POLICY)  # what a form starts from, to be changed by hand


class Way(StrEnum):
    """What can be done with a machine that is here. The value is stored, the label is printed."""

    MEND = "MEND"
    STRIP = "STRIP"
    PASS_ON = "PASS_ON"  # noqa: S105 (a way, not a word of entry)
    GIVE_BACK = "GIVE_BACK"

    @property
    def label(self) -> str:
        """The way as a person says it."""
        return _LABELS[self]


_LABELS = {
    Way.MEND: "Mend it",
    Way.STRIP: "Strip it for parts",
    Way.PASS_ON: "Pass it on as it is",
    Way.GIVE_BACK: "Give it back",
}


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a person thinks of one machine today. A way without an amount (None) is not weighed.

    `price_minor` is the price mended and proved, `reserve_minor` what the warranty then keeps back; `strip_minor`
    is what its parts are worth to the workshop, `pass_on_minor` its price untested or faulty, `give_back_minor`
    what the seller would pay back. `in_ten`: how often in ten such a machine comes right.
    """

    minutes: int
    parts_minor: int
    price_minor: int
    in_ten: int
    reserve_minor: int = 0
    strip_minor: int | None = None
    strip_minutes: int = 0
    pass_on_minor: int | None = None
    give_back_minor: int | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.in_ten <= OUT_OF:
            raise ValueError("A chance lies between 0 and 10 times in 10.")
        amounts = (self.minutes, self.parts_minor, self.price_minor, self.reserve_minor, self.strip_minutes)
        chosen = (self.strip_minor or 0, self.pass_on_minor or 0, self.give_back_minor or 0)
        if min(*amounts, *chosen) < 0:
            raise ValueError("Amounts and minutes cannot be below zero.")


@dataclass(frozen=True, slots=True)
class Weighed:
    """One way followed to the end. `lines` add up to `net_minor`; `worst_minor` and `best_minor` are its two ends."""

    way: Way
    minutes: int
    to_spend_minor: int
    brings_minor: int
    net_minor: int
    worst_minor: int
    best_minor: int
    lines: tuple[SumLine, ...]

    def per_hour_minor(self) -> int | None:
        """Return what each hour still to come earns, or None where no hour is asked."""
        return whole(Fraction(self.net_minor * 60, self.minutes)) if self.minutes else None


def weigh(
    outlook: Outlook, *, rate_minor_per_hour: int, purchase_minor: int, terms: Terms
) -> dict[Way, Weighed | None]:
    """Return every way with its sum, None where its amount was not said. NoPrice without a tax rate for the day.

    The price paid serves the tax on the margin alone. Overhead is left out: rent falls due whichever way.
    """
    strip = _strip(outlook, rate_minor_per_hour)
    return {
        Way.MEND: _mend(outlook, strip, rate_minor_per_hour, purchase_minor, terms),
        Way.STRIP: strip,
        Way.PASS_ON: _pass_on(outlook, purchase_minor, terms),
        Way.GIVE_BACK: _give_back(outlook),
    }


def best(weighed: Iterable[Weighed | None]) -> Weighed | None:
    """Return the way that leaves most; the earlier one where two leave the same."""
    known = [each for each in weighed if each is not None]
    return max(known, key=lambda each: each.net_minor) if known else None


def kept_minor(price_minor: int, purchase_minor: int, reserve_minor: int, terms: Terms) -> int:
    """Return what a sale leaves after fees, reserve and the tax this sale adds. NoPrice without a rate."""
    at_price = profit_at(
        price_minor, purchase_minor=purchase_minor, other_costs_minor=0, reserve_minor=reserve_minor, terms=terms
    )
    without_sale = tax_minor(purchase_minor, 0, terms.rule, terms.tax_rate_percent())
    return at_price.profit_minor + purchase_minor + without_sale


def _strip(outlook: Outlook, rate: int) -> Weighed | None:
    if outlook.strip_minor is None:
        return None
    work = labour_minor(outlook.strip_minutes, rate)
    lines = (SumLine("PARTS_OUT", "Its parts, in the drawer", outlook.strip_minor), SumLine("WORK", "Work", -work))
    return _sure(Way.STRIP, lines, outlook.strip_minutes)


def _mend(outlook: Outlook, strip: Weighed | None, rate: int, purchase: int, terms: Terms) -> Weighed:
    """Weigh mending: it comes right and is sold, or it does not and is stripped. The cost to come is spent in both."""
    kept, salvage = kept_minor(outlook.price_minor, purchase, outlook.reserve_minor, terms), 0
    if strip is not None:
        salvage = max(0, strip.net_minor)  # nobody strips at a loss: it can be scrapped for nothing
    chance = Fraction(outlook.in_ten, OUT_OF)
    work, parts = labour_minor(outlook.minutes, rate), outlook.parts_minor
    lines = [
        SumLine("SOLD", f"Sold, {outlook.in_ten} times in {OUT_OF}: price less fees and tax", whole(chance * kept)),
        SumLine("STRIPPED", "Not mended the other times: its parts", whole((1 - chance) * salvage)),
        SumLine("WORK", "Work still to come", -work),
        SumLine("PARTS", "Parts still to come", -parts),
    ]
    lines = [line for line in lines if line.amount_minor or line.code == "SOLD"]
    net, spent = sum(line.amount_minor for line in lines), work + parts
    ends = ([kept] if outlook.in_ten else []) + ([salvage] if outlook.in_ten < OUT_OF else [])
    return Weighed(
        Way.MEND, outlook.minutes, spent, net + spent, net, min(ends) - spent, max(ends) - spent, tuple(lines)
    )


def _pass_on(outlook: Outlook, purchase: int, terms: Terms) -> Weighed | None:
    if outlook.pass_on_minor is None:
        return None
    kept = kept_minor(outlook.pass_on_minor, purchase, 0, terms)
    less = kept - outlook.pass_on_minor
    lines = (SumLine("SOLD", "Sold untested or faulty", outlook.pass_on_minor), SumLine("FEES", "Fees and tax", less))
    return _sure(Way.PASS_ON, lines, 0)


def _give_back(outlook: Outlook) -> Weighed | None:
    if outlook.give_back_minor is None:
        return None
    return _sure(Way.GIVE_BACK, (SumLine("REFUND", "Paid back by the seller", outlook.give_back_minor),), 0)


def _sure(way: Way, lines: tuple[SumLine, ...], minutes: int) -> Weighed:
    """Return a way that has one end only."""
    shown = tuple(line for n, line in enumerate(lines) if line.amount_minor or n == 0)
    net = sum(line.amount_minor for line in shown)
    spent = -sum(line.amount_minor for line in shown if line.code == "WORK")
    return Weighed(way, minutes, spent, net + spent, net, net, net, shown)
