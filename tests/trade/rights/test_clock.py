"""The law's clock after a sale, against the terms as the guides print them and an independent count of months."""

from datetime import date

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.rights import clock, sources
from workshop.trade.sources import Seen

GOT = date(2026, 8, 31)


def until(place: str, code: str) -> date:
    term = clock.law_of(place).term(code)
    assert term is not None
    return term.until(GOT)


def test_british_terms() -> None:
    # two guides for consumers on the Consumer Rights Act 2015 (L-20, L-26): 30 days, 6 months, 6 years
    assert until("GB", "REJECT") == date(2026, 9, 30)
    assert until("GB", "BURDEN") == date(2027, 2, 28)
    assert until("GB", "CLAIM") == date(2032, 8, 31)


def test_german_terms() -> None:
    # commentaries on BGB 476 and 477 (L-21): 2 years, the burden of proof for 1
    assert until("DE", "ANSWER") == date(2028, 8, 31)
    assert until("DE", "BURDEN") == date(2027, 8, 31)


@pytest.mark.parametrize(("place", "law"), [("FR", "EU"), ("at", "EU"), ("AU-VIC", "AU"), ("US-FL", "US"), ("JP", "")])
def test_every_place_gets_its_law_or_is_told_that_none_was_read(place: str, law: str) -> None:
    found = clock.law_of(place)
    assert found.place == law
    assert bool(found.terms) == (law == "EU")
    assert ("not known to us" in found.notes[0]) == (law == "")


def test_what_comes_from_memory_says_so() -> None:
    assert clock.EU_AFTER_REPAIR_MONTHS.source.seen is Seen.MEMORY
    assert clock.GB_CLAIM_YEARS_SCOTLAND.source is sources.GB_CLAIM_SCOTLAND
    assert clock.law_of("GB").terms[0].length.source is sources.GB_QUALITY


@given(st.dates(date(2000, 1, 1), date(2080, 1, 1)), st.sampled_from(["GB", "DE", "FR"]))
def test_terms_end_where_an_independent_calendar_ends_them(got: date, place: str) -> None:
    for term in clock.law_of(place).terms:
        step = relativedelta(**{term.length.unit: int(term.length.value)})
        assert term.until(got) == got + step


def test_a_length_is_said_as_people_say_it() -> None:
    lengths = [term.length_words() for term in clock.law_of("GB").terms]
    assert lengths == ["30 days", "6 months", "6 years"]
