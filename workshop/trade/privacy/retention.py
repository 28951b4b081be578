"""How long a name must stand in a book, and what is kept of people besides: place by place, only where it was read.

Days are counted from the day of the last entry (a machine bought: the day it left). Years that a law counts from the
end of a year are counted from there; where the source does not say, from the year's end too, the longer side: house
policy. Where several rules ask, the longest counts.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from workshop.trade.care.spans import add_months
from workshop.trade.money.rules import TaxRule
from workshop.trade.privacy import sources
from workshop.trade.safety.records import DEALER_RULES
from workshop.trade.sources import HOUSE_POLICY, Figure, Source

UK_VAT_YEARS = Figure(Decimal(6), "years after the last entry", sources.UK_VAT_KEEP)
UK_RETURN_YEARS = Figure(Decimal(5), "years after the return was due", sources.UK_RETURN_KEEP)
DE_YEARS = Figure(Decimal(10), "years after the end of the year", sources.DE_BOOKS_KEEP)
IE_YEARS = Figure(Decimal(6), "years after the end of the year", sources.TAX_KEEP_MEMORY)
AU_YEARS = Figure(Decimal(5), "years after the end of the year", sources.TAX_KEEP_MEMORY)
NZ_YEARS = Figure(Decimal(7), "years after the end of the year", sources.TAX_KEEP_MEMORY)
ANSWER_DAYS = Figure(Decimal(30), "days to answer a request in", sources.DUTY_TO_KEEP)

_UK_YEAR_ENDS = (4, 5)  # of the income tax year; from memory
_UK_RETURN_DUE = (1, 31)


@dataclass(frozen=True, slots=True)
class Keep:
    """One rule: who asks for how long, in words; `until` gives the last day from the day of the last entry."""

    words: str
    until: Callable[[date], date]
    source: Source


@dataclass(frozen=True, slots=True)
class Kept:
    """One line of the table: what is kept, how long, why, and where that comes from."""

    what: str
    how_long: str
    why: str
    source: Source


def _from_the_day(years: Figure) -> Callable[[date], date]:
    return lambda day: add_months(day, int(years.value) * 12)


def _from_the_years_end(years: Figure) -> Callable[[date], date]:
    return lambda day: date(day.year + int(years.value), 12, 31)


def uk_return_until(day: date) -> date:
    """Return the last day for a British tax return that holds this day. Source P-01."""
    ends_in = day.year if (day.month, day.day) <= _UK_YEAR_ENDS else day.year + 1
    return date(ends_in + 1 + int(UK_RETURN_YEARS.value), *_UK_RETURN_DUE)


_UK_RETURN = Keep("Income tax: 5 years after the return was due", uk_return_until, sources.UK_RETURN_KEEP)
_UK_VAT = Keep("The margin scheme: 6 years, and until it is sold", _from_the_day(UK_VAT_YEARS), sources.UK_VAT_KEEP)
_TAX: dict[str, Keep] = {
    "GB": _UK_RETURN,
    "DE": Keep("Tax: 10 years after the year's end", _from_the_years_end(DE_YEARS), sources.DE_BOOKS_KEEP),
    "IE": Keep("Tax: 6 years after the year's end", _from_the_years_end(IE_YEARS), sources.TAX_KEEP_MEMORY),
    "AU": Keep("Tax: 5 years after the year's end", _from_the_years_end(AU_YEARS), sources.TAX_KEEP_MEMORY),
    "NZ": Keep("Tax: 7 years after the year's end", _from_the_years_end(NZ_YEARS), sources.TAX_KEEP_MEMORY),
}
_UK_MARGIN = (TaxRule.UK_MARGIN, TaxRule.UK_GLOBAL)


def rules(place_code: str, tax_rule: TaxRule) -> tuple[Keep, ...]:
    """Return the rules that hold a name in the book at a place ("AU-VIC", "GB"); none where none was read."""
    code = place_code.strip().upper()
    found = [_TAX[code.partition("-")[0]]] if code.partition("-")[0] in _TAX else []
    if tax_rule in _UK_MARGIN:
        found.append(_UK_VAT)
    dealer = DEALER_RULES.get(code)
    if dealer is not None and dealer.keep_years is not None:
        words = f"{dealer.words}, the seller's record: {dealer.keep_years.value} years after the year's end"
        found.append(Keep(words, _from_the_years_end(dealer.keep_years), dealer.source))
    return tuple(found)


def not_known(place_code: str) -> str:
    """Return the sentence that asks for advice where a rule was not read, or nothing."""
    code = place_code.strip().upper()
    dealer = DEALER_RULES.get(code)
    if code.partition("-")[0] not in _TAX:
        return "How long your place wants names kept in the book was not read here. Ask a tax adviser."
    if dealer is not None and dealer.keep_years is None:
        return f"How long {dealer.words} wants the seller's record kept was not seen. Ask the authority that licenses."
    return ""


def last_day(place_code: str, tax_rule: TaxRule, day: date) -> date | None:
    """Return the last day a name must stay in the book for an entry of this day; None where no rule was read."""
    return max((rule.until(day) for rule in rules(place_code, tax_rule)), default=None)


def table(place_code: str, tax_rule: TaxRule) -> list[Kept]:
    """Return what is kept of people at a place: what, how long, why, and the source."""
    held = [
        Kept("Name and address of seller and buyer, in the book", rule.words, "a legal duty", rule.source)
        for rule in rules(place_code, tax_rule)
    ]
    if words := not_known(place_code):
        held.append(Kept("Name and address of seller and buyer, in the book", words, "a legal duty", HOUSE_POLICY))
    return [*held, *_ALWAYS]


_ALWAYS = (
    Kept(
        "Phone, e-mail, notes, messages",
        "until they ask, or as long as the name stands in the book",
        "to keep what was promised: warranty and care",
        sources.STORAGE_LIMIT,
    ),
    Kept(
        "Identity papers of a seller",
        "never a picture; kind and number as long as the seller's record, where the place asks for them",
        "second-hand dealers' law",
        HOUSE_POLICY,
    ),
    Kept("Who offered a machine not bought", "30 days after it was dropped", "they may ring back", HOUSE_POLICY),
    Kept("Typing that was not sent", "14 days", "a dead battery must not lose it", HOUSE_POLICY),
)
