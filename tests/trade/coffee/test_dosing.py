"""Dose calibration: the line, its inverse, portions, and an honest spread."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.coffee.dosing import DoseFit, DoseTrial, Drift, dose_scale, drift, fit_dose
from workshop.trade.scales import Scale, ScaleKind, parse, say

D = Decimal
SECONDS = Scale(ScaleKind.SECONDS, D(0), D(20), D("0.1"), None)
DIAL = Scale(ScaleKind.CLOCK, D(7), D(5), D("0.25"), None)


def trial(setting: str, dose_g: str, portions: int = 1, *, topped_up: bool = False) -> DoseTrial:
    return DoseTrial(D(setting), D(dose_g), portions, topped_up)


def test_two_lengths_part_the_rate_from_the_start_of_the_motor() -> None:
    fit = fit_dose([trial("4", "7"), trial("8", "15")], SECONDS)
    assert (fit.rate, fit.offset) == (D(2), D("0.5"))  # 2 g/s after half a second, by hand
    assert fit.exact_setting_for(D(18)) == D("9.5")


def test_the_line_is_the_least_squares_line() -> None:
    seconds, grams = ["4", "5", "8", "8", "11"], ["7.1", "8.7", "15.2", "14.6", "21.3"]
    fit = fit_dose([trial(s, g) for s, g in zip(seconds, grams, strict=True)], SECONDS)
    slope, intercept = np.polyfit([float(s) for s in seconds], [float(g) for g in grams], 1)
    assert float(fit.rate) == pytest.approx(slope, rel=1e-12)
    assert float(fit.offset) == pytest.approx(-intercept / slope, rel=1e-10)


def test_portions_are_weighted_by_their_number() -> None:
    trials = [trial("4", "7.2"), trial("6", "21.6", 2), trial("9", "17.4")]
    fit = fit_dose(trials, SECONDS)
    per_portion = [7.2, 10.8, 17.4]
    slope, intercept = np.polyfit([4.0, 6.0, 9.0], per_portion, 1, w=np.sqrt([1.0, 2.0, 1.0]))
    assert float(fit.rate) == pytest.approx(slope, rel=1e-12)
    assert float(fit.offset) == pytest.approx(-intercept / slope, rel=1e-10)


def test_a_dose_in_two_portions_pays_the_start_twice() -> None:
    fit = fit_dose([trial("4", "7"), trial("8", "15")], SECONDS)
    assert fit.exact_setting_for(D(18), 2) == D(5)
    whole = fit.setting_for(D(18), 2)
    assert whole is not None
    assert (whole.setting, whole.portions, whole.mean_g) == (D(5), 2, D(18))


def test_hand_held_top_ups_stay_out_of_the_fit() -> None:
    trials = [trial("4", "7"), trial("8", "15")]
    assert fit_dose([*trials, trial("8", "19", topped_up=True)], SECONDS) == fit_dose(trials, SECONDS)


def test_a_clock_face_dial_that_runs_past_twelve_is_a_straight_line_too() -> None:
    fit = fit_dose([trial("9", "8"), trial("1", "16")], DIAL)  # two and six hours up from seven o'clock
    assert (fit.rate, fit.offset) == (D(2), D(-2))
    answer = fit.setting_for(D(14))
    assert answer is not None
    assert answer.setting == 0  # 12 o'clock
    assert fit.exact_setting_for(D(16)) == 1


def test_a_dose_the_dial_does_not_reach_is_not_answered() -> None:
    fit = fit_dose([trial("9", "8"), trial("1", "16")], DIAL)
    assert fit.setting_for(D(40)) is None
    assert fit.setting_for(D(1)) is None


def test_spread_covers_both_ways_a_wild_grinder_came_out() -> None:
    steady = fit_dose([trial("4", "7"), trial("6", "11"), trial("8", "15")], SECONDS)
    wild = fit_dose([trial("4", "7"), trial("4", "9"), trial("8", "14"), trial("8", "16")], SECONDS)
    assert width(wild, "6") > width(steady, "6")
    # common practice, 0.3 to 0.5 g by time: two perfect trials do not pretend to more
    assert D("0.3") < width(fit_dose([trial("4", "7"), trial("8", "15")], SECONDS), "6") / 2 < D("0.6")


def width(fit: DoseFit, setting: str) -> Decimal:
    dose = fit.dose_at(D(setting))
    return dose.high_g - dose.low_g


@given(st.lists(st.tuples(st.integers(20, 150), st.integers(-8, 8)), min_size=3, max_size=8))
def test_the_band_is_narrowest_at_the_middle_of_the_trials(rows: list[tuple[int, int]]) -> None:
    trials = [DoseTrial(D(tenths) / 10, D(tenths) / 5 + D(miss) / 20) for tenths, miss in rows]
    try:
        fit = fit_dose(trials, SECONDS)
    except ValueError:
        return
    middle = fit.centre
    assert width(fit, str(middle + 4)) > width(fit, str(middle + 2)) or fit.dose_at(middle + 2).low_g == 0


def test_trials_that_cannot_make_a_line_are_refused() -> None:
    with pytest.raises(ValueError, match="two settings"):
        fit_dose([trial("4", "7"), trial("4", "7.2")], SECONDS)
    with pytest.raises(ValueError, match="did not give more"):
        fit_dose([trial("4", "9"), trial("8", "7")], SECONDS)
    with pytest.raises(ValueError, match="at least one portion"):
        trial("4", "9", 0)
    fit = fit_dose([trial("4", "7"), trial("8", "15")], SECONDS)
    with pytest.raises(ValueError, match="more than nothing"):
        fit.setting_for(D(0))
    with pytest.raises(ValueError, match="more than nothing"):
        fit.exact_setting_for(D(18), 0)
    with pytest.raises(ValueError, match="at least one portion"):
        fit.dose_at(D(4), 0)


def test_the_band_is_the_textbook_one_for_a_fresh_dose_of_two_portions() -> None:
    seconds, grams = np.array([4.0, 6.0, 8.0, 8.0]), np.array([7.0, 11.6, 15.0, 15.8])
    fit = fit_dose([trial(str(s), str(g)) for s, g in zip(seconds, grams, strict=True)], SECONDS)
    slope, intercept = np.polyfit(seconds, grams, 1)
    squares = float(np.sum((grams - slope * seconds - intercept) ** 2))
    noise = (4 * 0.31**2 + squares) / (4 + 2)  # four trials' trust in common practice, two degrees of freedom
    line = 1 / 4 + (5 - seconds.mean()) ** 2 / float(np.sum((seconds - seconds.mean()) ** 2))
    half_width = 1.2815515655 * (noise * (2 + 4 * line)) ** 0.5
    dose = fit.dose_at(D(5), 2)
    assert float(dose.high_g - dose.mean_g) == pytest.approx(half_width, rel=1e-9)


def test_what_lies_between_the_shortest_and_the_longest_was_weighed() -> None:
    fit = fit_dose([trial("4", "7"), trial("8", "15"), trial("12", "30", topped_up=True)], SECONDS)
    assert [fit.weighed(D(seconds)) for seconds in ("3.9", "4", "8", "8.1")] == [False, True, True, False]


def test_the_scale_reads_a_running_total_portion_by_portion() -> None:
    fit = fit_dose([trial("4", "7"), trial("8", "15")], SECONDS)  # 2 g/s after half a second
    assert fit.running_totals_g(D("3.5"), 3) == (D(6), D(12), D(18))


@pytest.mark.parametrize(
    ("doses", "side"),
    [
        (("17.4", "17.3", "17.2"), Drift.LIGHT),
        (("18.6", "18.7", "18.6"), Drift.HEAVY),
        (("17.5", "17.3", "17.2"), None),  # half a gram off is still inside
        (("17.4", "18.6", "17.4"), None),
        (("17.4", "17.4"), None),
        (("18", "17.4", "17.3", "17.2"), Drift.LIGHT),  # the last three
    ],
)
def test_three_doses_out_on_one_side_ask_for_new_trials(doses: tuple[str, ...], side: Drift | None) -> None:
    assert drift([D(dose) for dose in doses], D(18)) is side


@pytest.mark.parametrize(
    ("kind", "typed", "words"),
    [("seconds", "3,1", "3.1 s"), ("clock", "half past two", "half past 2"), ("grams", "18", "18 g"), ("", "4", "4 s")],
)
def test_a_dose_is_set_in_its_own_scales_words(kind: str, typed: str, words: str) -> None:
    scale = dose_scale(kind)
    assert say(scale, parse(scale, typed)) == words


def test_a_dose_dial_turns_clockwise_past_twelve() -> None:
    fit = fit_dose([trial("10", "8"), trial("2", "16")], dose_scale("clock"))  # four hours on: 2 g an hour
    answer = fit.setting_for(D(12))
    assert answer is not None
    assert answer.setting == 0  # 12 o'clock
