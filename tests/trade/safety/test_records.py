"""What each place asks of a seller's record, against the published table row by row."""

import pytest

from workshop.trade.money.rules import TaxRule
from workshop.trade.safety.records import DEALER_RULES, KEPT_ANYWAY, PRIVATE, TAX_RULES, Ask, asked, missing, rules_for
from workshop.trade.sources import Seen

# One row a published field, one column a place; "x" asks, "." does not, or was not seen.
PLACES = ("AU-NSW", "AU-VIC", "AU-QLD", "AU-NT", "AU-ACT", "NZ", "US-FL")
TABLE = {
    Ask.NAME: "xxxx.xx",
    Ask.ADDRESS: "xxxx.xx",
    Ask.PHONE: ".....x.",
    Ask.BORN_ON: ".....x.",
    Ask.SIGNATURE: ".....x.",
    Ask.ID_KIND: "xx...x.",
    Ask.ID_NUMBER: "xx.....",
    Ask.DECLARATION: "x......",
    Ask.DATE: "xxxxxxx",
    Ask.TIME: ".x.xx.x",
    Ask.PLACE: "....x.x",
    Ask.DESCRIPTION: "xxxxxxx",
    Ask.SERIAL: "xxxxxxx",
    Ask.PRICE: "xx.xxx.",
    Ask.STAFF: ".x.x.x.",
}


@pytest.mark.parametrize("ask", list(Ask))
def test_every_field_is_asked_where_the_published_table_asks_it(ask: Ask) -> None:
    assert "".join("x" if ask in DEALER_RULES[place].asks else "." for place in PLACES) == TABLE[ask]


@pytest.mark.parametrize(
    ("place", "years"),
    # The NZ and Florida pages name 3 years; for the Australian places no number was seen.
    [("AU-NSW", None), ("AU-VIC", None), ("AU-QLD", None), ("AU-NT", None), ("AU-ACT", None), ("NZ", 3), ("US-FL", 3)],
)
def test_years_to_keep_are_told_only_where_they_were_seen(place: str, years: int | None) -> None:
    rule = DEALER_RULES[place]

    assert (None if rule.keep_years is None else int(rule.keep_years.value)) == years
    assert ("not seen" in rule.keep_words) == (years is None)


def test_the_british_margin_scheme_wants_the_address_warns_only_and_keeps_six_years() -> None:
    # gov.uk, keeping records: date, seller's name and address, description, total; 6 years.
    (rule,) = rules_for("GB", TaxRule.UK_MARGIN)

    assert missing(rule, kept=()) == [Ask.ADDRESS]
    assert (rule.blocks, rule.keep_words) == (False, "keep it 6 years, and until it is sold")
    assert rules_for("GB", TaxRule.UK_GLOBAL) == (rule,)


@pytest.mark.parametrize("place", ["GB", "DE", "AU", "US", "ZZ", ""])
def test_nothing_is_asked_where_no_rule_was_read(place: str) -> None:
    assert rules_for(place, TaxRule.NONE) == ()


def test_a_place_and_its_tax_rule_are_asked_together_and_only_the_place_blocks() -> None:
    rules = rules_for(" au-vic ", TaxRule.AU_GST)

    assert [rule.blocks for rule in rules] == [True, False]
    assert asked(rules) == DEALER_RULES["AU-VIC"].asks


def test_what_is_kept_anyway_is_never_missing_and_the_rest_comes_in_one_order() -> None:
    rule = DEALER_RULES["NZ"]

    assert missing(rule, kept=()) == [
        Ask.ADDRESS, Ask.PHONE, Ask.BORN_ON, Ask.SIGNATURE, Ask.ID_KIND, Ask.STAFF,
    ]  # fmt: skip
    assert missing(rule, kept=[Ask.ADDRESS, Ask.BORN_ON, Ask.STAFF]) == [Ask.PHONE, Ask.SIGNATURE, Ask.ID_KIND]
    assert missing(rule, kept=list(Ask)) == []
    assert not KEPT_ANYWAY & PRIVATE


def test_every_rule_says_how_it_was_seen() -> None:
    seen = {rule.source.seen for rule in (*DEALER_RULES.values(), *TAX_RULES.values())}

    assert seen == {Seen.READ, Seen.SECOND_HAND}
    assert DEALER_RULES["AU-QLD"].source.seen is Seen.SECOND_HAND
