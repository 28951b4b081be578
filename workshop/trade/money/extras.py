"""Extras sold with a machine, each under its own tax rule, summed with the machine's price.

A margin sale hides its tax; an extra bought new does not. Tax is one legal amount a rate, not a line (source M-44):
gross amounts of one rate are added, then the tax inside them is rounded once. Amounts are minor units.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from workshop.trade.money.rates import rate_on
from workshop.trade.money.rules import ON_THE_MARGIN, UNTAXED, TaxRule
from workshop.trade.money.tax import share_minor


class ExtraTax(StrEnum):
    """How one extra is taxed."""

    NONE = "NONE"  # no tax scheme is chosen: nobody is asked
    MACHINE = "MACHINE"  # part of the machine's price, under its rule (source M-45)
    STANDARD = "STANDARD"
    OTHER = "OTHER"

    @property
    def label(self) -> str:
        """What a form calls it."""
        return _LABELS[self]


_LABELS = {
    ExtraTax.NONE: "No tax",
    ExtraTax.MACHINE: "As the machine: delivery, packing",
    ExtraTax.STANDARD: "Standard rate: new goods, like a tamper",
    ExtraTax.OTHER: "Another rate: coffee, books",
}


@dataclass(frozen=True, slots=True)
class Extra:
    """One extra: what the buyer pays, tax inside, and what it cost us without tax. `rate_percent` for OTHER alone."""

    amount_minor: int
    tax: ExtraTax
    rate_percent: Decimal | None = None
    cost_minor: int = 0

    def __post_init__(self) -> None:
        if self.amount_minor < 0 or self.cost_minor < 0:
            raise ValueError("An extra and its cost cannot be below zero.")
        if (self.rate_percent is None) is (self.tax is ExtraTax.OTHER):
            raise ValueError("Another rate wants its rate, and only another rate has one.")


@dataclass(frozen=True, slots=True)
class RateLine:
    """The extras of one rate together: gross, and the tax inside it, rounded once."""

    rate_percent: Decimal
    gross_minor: int
    tax_minor: int


@dataclass(frozen=True, slots=True)
class Extras:
    """All extras of one sale. `with_machine_minor` counts into the machine's own tax; `apart` does not."""

    with_machine_minor: int = 0
    apart: tuple[RateLine, ...] = ()
    cost_minor: int = 0

    @property
    def apart_minor(self) -> int:
        """What is paid for extras with a tax of their own."""
        return sum(line.gross_minor for line in self.apart)

    @property
    def total_minor(self) -> int:
        """What the buyer pays for all extras."""
        return self.with_machine_minor + self.apart_minor

    @property
    def tax_minor(self) -> int:
        """The tax of the extras that have their own; the others are in the machine's."""
        return sum(line.tax_minor for line in self.apart)


NOTHING = Extras()


def add_up(extras: Sequence[Extra], rule: TaxRule, on: date, country: str | None = None) -> Extras:
    """Return the extras summed for a machine sold under `rule` on a day.

    An untaxed rule has no tax in any line. Raises NoRate when the standard rate of the day is not known.
    """
    gross: dict[Decimal, int] = {}
    for extra in extras:
        if extra.tax is not ExtraTax.MACHINE:
            rate = _rate(extra, rule, on, country)
            gross[rate] = gross.get(rate, 0) + extra.amount_minor
    apart = tuple(RateLine(rate, amount, share_minor(amount, rate)) for rate, amount in sorted(gross.items()))
    inside = sum(extra.amount_minor for extra in extras if extra.tax is ExtraTax.MACHINE)
    return Extras(inside, apart, sum(extra.cost_minor for extra in extras))


def shown(
    machine_minor: int, extras: Extras, rule: TaxRule, on: date, country: str | None = None
) -> tuple[RateLine, ...]:
    """Return the tax that a buyer's receipt shows, a line a rate; empty where no tax may or need be shown.

    A margin sale shows none for the machine and what is taxed with it (sources M-07, M-09); the extras show theirs.
    Under a rule on the full price the machine joins the extras of its rate before the one rounding.
    """
    if rule in UNTAXED:
        return ()
    gross = {line.rate_percent: line.gross_minor for line in extras.apart}
    if rule not in ON_THE_MARGIN:
        rate = rate_on(rule, on, country).rate_percent
        gross[rate] = gross.get(rate, 0) + machine_minor + extras.with_machine_minor
    return tuple(RateLine(rate, amount, share_minor(amount, rate)) for rate, amount in sorted(gross.items()) if amount)


def _rate(extra: Extra, rule: TaxRule, on: date, country: str | None) -> Decimal:
    if rule in UNTAXED or extra.tax is ExtraTax.NONE:
        return Decimal(0)
    if extra.rate_percent is not None:
        return extra.rate_percent
    return rate_on(rule, on, country).rate_percent
