"""Standard rates with their dates, as data: a change of the law is a new row here."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from workshop.trade.money.rules import UNTAXED, TaxRule
from workshop.trade.money.sources import AU_DIV_66, NZ_3A, STANDARD_RATES, US_RESELLER
from workshop.trade.sources import Source


class NoRate(ValueError):
    """No tax rate is known for the rule on the day; the message is a sentence for the person."""


@dataclass(frozen=True, slots=True)
class Rate:
    """One rate while it held. `country` is set only where the rule is open to several."""

    rule: TaxRule
    rate_percent: Decimal
    valid_from: date
    valid_to: date | None  # the last day it holds; None while it stands
    source: Source
    country: str | None = None

    def holds(self, day: date) -> bool:
        """Return whether the rate held on a day, both ends counted."""
        return self.valid_from <= day and (self.valid_to is None or day <= self.valid_to)


_Span = tuple[str, date, date | None]

_UK: tuple[_Span, ...] = (("20", date(2011, 1, 4), None),)
_DE: tuple[_Span, ...] = (
    ("19", date(2007, 1, 1), date(2020, 6, 30)),
    ("16", date(2020, 7, 1), date(2020, 12, 31)),
    ("19", date(2021, 1, 1), None),
)
_IE: tuple[_Span, ...] = (
    ("23", date(2012, 1, 1), date(2020, 8, 31)),
    ("21", date(2020, 9, 1), date(2021, 2, 28)),
    ("23", date(2021, 3, 1), None),
)


def _rates(rule: TaxRule, spans: tuple[_Span, ...], source: Source, country: str | None = None) -> tuple[Rate, ...]:
    return tuple(Rate(rule, Decimal(percent), start, end, source, country) for percent, start, end in spans)


def _untaxed(rule: TaxRule) -> Rate:
    # Sales tax in the United States is added on top, so the price itself holds none.
    source = US_RESELLER if rule is TaxRule.US_SALES_TAX else STANDARD_RATES
    return Rate(rule, Decimal(0), date.min, None, source)


RATES: tuple[Rate, ...] = (
    *_rates(TaxRule.UK_MARGIN, _UK, STANDARD_RATES),
    *_rates(TaxRule.UK_GLOBAL, _UK, STANDARD_RATES),
    *_rates(TaxRule.DE_MARGIN, _DE, STANDARD_RATES),
    *_rates(TaxRule.IE_MARGIN, _IE, STANDARD_RATES),
    *_rates(TaxRule.AU_GST, (("10", date(2000, 7, 1), None),), AU_DIV_66),
    *_rates(TaxRule.NZ_GST, (("15", date(2010, 10, 1), None),), NZ_3A),
    *_rates(TaxRule.FULL_VAT, _UK, STANDARD_RATES, "GB"),
    *_rates(TaxRule.FULL_VAT, _DE, STANDARD_RATES, "DE"),
    *_rates(TaxRule.FULL_VAT, _IE, STANDARD_RATES, "IE"),
    *(_untaxed(rule) for rule in sorted(UNTAXED)),
)


def rate_on(rule: TaxRule, day: date, country: str | None = None) -> Rate:
    """Return the rate held inside a price on a day; 0 % where the price holds no tax.

    FULL_VAT also wants the country ("GB", "AU-VIC": the part before the dash counts). Raises NoRate.
    """
    place = country.split("-")[0] if country else None
    for rate in RATES:
        if rate.rule is rule and rate.holds(day) and rate.country in (None, place):
            return rate
    where = f" in {place}" if place and rule is TaxRule.FULL_VAT else ""
    raise NoRate(f"No rate is known for “{rule.label}”{where} on {day.isoformat()}; write the rate in Our workshop.")
