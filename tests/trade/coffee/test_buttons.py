"""A taught button: its mean, its spread, and whether it holds."""

from decimal import Decimal

import pytest
from scipy import stats

from workshop.trade.coffee.buttons import ButtonVerdict, button_result, tolerance_g

D = Decimal


def grams(*values: str) -> list[Decimal]:
    return [D(value) for value in values]


def test_three_runs_that_hold_print_their_mean_not_the_target() -> None:
    result = button_result(grams("35", "36.5", "38"), D(36))
    assert (result.mean_g, result.spread_g, result.verdict) == (D("36.5"), D(3), ButtonVerdict.HOLDS)


@pytest.mark.parametrize(
    ("runs", "target_g", "word"),
    [
        (grams("36"), "36", ButtonVerdict.TOO_FEW_RUNS),
        (grams("34", "38"), "36", ButtonVerdict.HOLDS),  # 2 g either side of the mean: still within 1 to 2 g
        (grams("33.9", "38.1"), "36", ButtonVerdict.UNEVEN),
        (
            grams("30", "42"),
            "36",
            ButtonVerdict.UNEVEN,
        ),
        (grams("33", "34"), "36", ButtonVerdict.UNDER),
        (grams("38", "39"), "36", ButtonVerdict.OVER),
    ],
)
def test_each_way_a_button_does(runs: list[Decimal], target_g: str, word: ButtonVerdict) -> None:
    assert button_result(runs, D(target_g)).verdict is word


def test_without_a_target_only_evenness_is_judged() -> None:
    assert button_result(grams("20", "21")).verdict is ButtonVerdict.HOLDS


def test_the_workshop_s_own_tolerance_is_used() -> None:
    assert button_result(grams("35", "36"), D("35.5"), D("0.4")).verdict is ButtonVerdict.UNEVEN


def test_no_runs_are_refused() -> None:
    with pytest.raises(ValueError, match="at least one run"):
        button_result([])
    with pytest.raises(ValueError, match="at least one run"):
        button_result(grams("-1"))


def test_the_spread_is_the_samples_own() -> None:
    runs = ["35.6", "36.4", "36.1", "37.0"]
    result = button_result(grams(*runs))
    assert result.sd_g is not None
    assert float(result.sd_g) == pytest.approx(stats.tstd([float(run) for run in runs]), rel=1e-12)
    assert (result.low_g, result.high_g, result.spread_g) == (D("35.6"), D("37.0"), D("1.4"))
    assert button_result(grams("36")).sd_g is None


def test_water_alone_may_lie_twelve_grams_apart() -> None:
    runs = grams("90", "102")
    assert button_result(runs, tolerance_g=tolerance_g(coffee=False)).verdict is ButtonVerdict.HOLDS
    assert button_result(runs, tolerance_g=tolerance_g(coffee=True)).verdict is ButtonVerdict.UNEVEN
