"""The law's clock after a sale: until which day each right of a buyer runs. Not legal advice.

It runs beside the workshop's own warranty and is never shortened by it. A place whose rule was not read gives no
clock and says so: then only the local law can tell.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from workshop.trade.care.spans import add_months
from workshop.trade.rights import quality, sources
from workshop.trade.rights.quality import Quality
from workshop.trade.sources import Figure

GB_CLAIM_YEARS = Figure(Decimal(6), "years", sources.GB_CLAIM)
GB_CLAIM_YEARS_SCOTLAND = Figure(Decimal(5), "years", sources.GB_CLAIM_SCOTLAND)
EU_AFTER_REPAIR_MONTHS = Figure(Decimal(12), "months", sources.EU_REPAIR)


@dataclass(frozen=True, slots=True)
class Term:
    """One term of a law: what holds while it runs, and for how long from the day the buyer got it."""

    code: str
    words: str  # a sentence
    length: Figure  # in days, months or years

    def until(self, got_on: date) -> date:
        """Return the last day it runs, counted on the side that is longer for the buyer."""
        count = int(self.length.value)
        if self.length.unit == "days":
            return got_on + timedelta(days=count)
        return add_months(got_on, count * 12 if self.length.unit == "years" else count)

    def length_words(self) -> str:
        """Say how long it is: "6 months", "1 year"."""
        count = self.length.value
        return f"{count} {self.length.unit if count != 1 else self.length.unit.removesuffix('s')}"


@dataclass(frozen=True, slots=True)
class Law:
    """What the law of one place gives a private buyer: its terms, and what no day can say."""

    place: str
    terms: tuple[Term, ...]
    notes: tuple[str, ...]

    def term(self, code: str) -> Term | None:
        """Return one of its terms, where the place has it."""
        return next((term for term in self.terms if term.code == code), None)


_REJECT = "They may send a faulty machine back and have all their money."
_BURDEN = "A fault that shows is taken to have been there when it was sold, unless you prove otherwise."
_ANSWER = "You answer for faults that were there when it was sold."
_CLAIM = "They may claim for a fault that was there when it was sold."

_NOTES: dict[str, tuple[str, ...]] = {
    "GB": (f"In Scotland they may claim for {GB_CLAIM_YEARS_SCOTLAND.value} years.",),
    "EU": (
        "This is what the Union asks at least: your country may give more. Check it.",
        "For used goods the years may be cut to 1, where the law allows it and the buyer agreed to it.",
        f"From 31 July 2026 a repair is to add {EU_AFTER_REPAIR_MONTHS.value} months: check it.",
    ),
    "AU": (
        "No fixed term: it must last as long as its age, price and condition let a buyer expect.",
        "What you told them of before they agreed is left out. This right cannot be signed away.",
    ),
    "NZ": ("No fixed term was read: acceptable quality is owed. Check how long.",),
    "US": (
        "No fixed term: the implied warranty is the law of the state.",
        "Where you gave a written warranty, the implied one cannot be ruled out.",
    ),
}
_UNSEEN = ("The law's term of this place is not known to us. Ask before you refuse anything.",)


def law_of(place_code: str) -> Law:
    """Return what the law of a place gives: "GB", "DE", "AU-VIC" (the part before the dash counts)."""
    known = quality.quality_for(place_code)
    return Law(known.place, tuple(_terms(known)), _NOTES.get(known.place, _UNSEEN))


def _terms(known: Quality) -> list[Term]:
    claim = GB_CLAIM_YEARS if known.place == "GB" else None
    given = (
        ("REJECT", _REJECT, known.reject_days),
        ("BURDEN", _BURDEN, known.presumed_months),
        ("ANSWER", _ANSWER, known.years),
        ("CLAIM", _CLAIM, claim),
    )
    return [Term(code, words, length) for code, words, length in given if length is not None]
