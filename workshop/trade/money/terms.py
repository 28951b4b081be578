"""How a machine is sold, one line of a money sum, and the refusal when no price will do."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from workshop.trade.money.tax import UNTAXED, NoRate, TaxRule, rate_on


class NoPrice(ValueError):
    """No price can do what is asked; the message is a sentence for the person."""


@dataclass(frozen=True, slots=True)
class Terms:
    """How and when it is sold. `country` serves FULL_VAT alone; `rate_percent` overrides the dated rate."""

    rule: TaxRule
    on: date
    selling_fee: Decimal = Decimal(0)
    payment_fee: Decimal = Decimal(0)
    fixed_fee_minor: int = 0
    country: str | None = None
    rate_percent: Decimal | None = None

    def __post_init__(self) -> None:
        if self.selling_fee < 0 or self.payment_fee < 0 or self.fixed_fee_minor < 0:
            raise ValueError("A fee cannot be below zero.")

    @property
    def fees(self) -> Fraction:
        """Both fees that follow the price, as one share of it."""
        return Fraction(self.selling_fee) + Fraction(self.payment_fee)

    def tax_rate_percent(self) -> Decimal:
        """Return the rate held inside the price on the day; NoPrice when it is not known."""
        if self.rate_percent is not None and self.rule not in UNTAXED:
            return self.rate_percent
        try:
            return rate_on(self.rule, self.on, self.country).rate_percent
        except NoRate as unknown:
            raise NoPrice(str(unknown)) from unknown


@dataclass(frozen=True, slots=True)
class SumLine:
    """One line of the sum: what comes in is above zero, what goes out below."""

    code: str
    words: str
    amount_minor: int
