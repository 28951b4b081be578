"""Rights beside the warranty and known defects, by place; figures by the sources L-20 to L-33."""

import pytest

from workshop.trade.rights import quality


def test_the_united_kingdom_gives_thirty_days_and_presumes_six_months():
    row = quality.quality_for("GB")

    assert (row.reject_days.value, row.presumed_months.value) == (30, 6)  # L-20


def test_the_union_answers_two_years_and_one_where_agreed_for_used_goods():
    row = quality.quality_for("DE")

    assert (row.years.value, row.used_years.value, row.presumed_months.value) == (2, 1, 12)  # L-21


@pytest.mark.parametrize("place", ["AU-VIC", "NZ", "US", "JP", ""])
def test_no_figure_is_made_up_elsewhere(place):
    row = quality.quality_for(place)

    assert [row.reject_days, row.presumed_months, row.years] == [None] * 3


@pytest.mark.parametrize(
    ("place", "separately"), [("DE", True), ("FR", True), ("GB", False), ("AU-QLD", False), ("NZ", False), ("", False)]
)
def test_the_union_wants_a_known_defect_agreed_on_its_own(place, separately):
    assert quality.defect_rule_for(place).separately is separately
