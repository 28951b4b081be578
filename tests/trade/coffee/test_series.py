"""A few readings of one thing, against scipy and by hand."""

from decimal import Decimal

import pytest
from scipy import stats

from workshop.trade.coffee.series import apart_share, farthest_from_mean, series_stats

D = Decimal
DRAWS = [D("91.5"), D("92.2"), D("92.6"), D("93"), D("92.4")]


def test_mean_spread_and_deviation_as_an_independent_library_says() -> None:
    found = series_stats(DRAWS)
    described = stats.describe([float(value) for value in DRAWS], ddof=1)
    assert (found.lowest, found.highest, found.spread) == (D("91.5"), D(93), D("1.5"))
    assert float(found.mean) == pytest.approx(described.mean)
    assert found.sd is not None
    assert float(found.sd) == pytest.approx(described.variance**0.5)


def test_a_textbook_sample_has_its_known_deviation() -> None:
    # 2, 4, 4, 4, 5, 5, 7, 9: squares about the mean 5 add up to 32, over n - 1 = 7
    found = series_stats([D(value) for value in (2, 4, 4, 4, 5, 5, 7, 9)])
    assert found.mean == 5
    assert found.sd is not None
    assert round(found.sd**2, 6) == round(D(32) / 7, 6)


def test_one_value_has_no_deviation_and_none_is_no_series() -> None:
    assert series_stats([D(7)]).sd is None
    with pytest.raises(ValueError, match="at least one"):
        series_stats([])


def test_the_farthest_value_may_lie_on_either_side() -> None:
    assert farthest_from_mean([D(10), D(10), D(13)]) == 2
    assert farthest_from_mean([D(10), D(10), D(7)]) == 2


@pytest.mark.parametrize(("first", "second", "share"), [("19", "21", "0.1"), ("21", "19", "0.1"), ("0", "20", "2")])
def test_how_far_two_cups_lie_apart(first: str, second: str, share: str) -> None:
    assert apart_share(D(first), D(second)) == D(share)


@pytest.mark.parametrize(("first", "second"), [("0", "0"), ("-1", "20")])
def test_two_empty_cups_say_nothing(first: str, second: str) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        apart_share(D(first), D(second))
