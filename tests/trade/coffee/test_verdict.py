"""Fast, inside, slow; and the pair a recipe may rest on."""

from decimal import Decimal

import pytest

from workshop.trade.coffee.shots import Shot, Target, usable_shots
from workshop.trade.coffee.verdict import (
    Verdict,
    WhyNot,
    agree,
    pair_places,
    recipe_pair,
    run_faults,
    time_at_yield_s,
    verdict,
    verdict_at_yield,
    why_not,
)

D = Decimal
TARGET = Target(D(25), D(31), D(18), D(36))


def pulled(time_s: str, setting: str = "7", *, yield_g: str = "36", dose_g: str = "18", spoilt: bool = False) -> Shot:
    return Shot(D(setting), D(dose_g), D(yield_g), D(time_s), spoilt=spoilt)


@pytest.mark.parametrize(
    ("time_s", "word"),
    [
        ("24.9", Verdict.FAST),
        ("25", Verdict.INSIDE),
        ("28", Verdict.INSIDE),
        ("31", Verdict.INSIDE),
        ("31.1", Verdict.SLOW),
    ],
)
def test_both_ends_of_the_target_time_are_inside(time_s: str, word: Verdict) -> None:
    assert verdict(D(time_s), TARGET) is word


def test_a_shot_stopped_late_may_be_inside_as_pulled_and_fast_at_the_target_yield() -> None:
    assert verdict(D(26), TARGET) is Verdict.INSIDE
    assert time_at_yield_s(D(26), D(40), D(36)) == D("23.4")
    assert verdict_at_yield(D(26), D(40), TARGET) is Verdict.FAST


def test_a_choked_shot_has_no_time_at_another_yield() -> None:
    with pytest.raises(ValueError, match="Nothing reached the cup"):
        time_at_yield_s(D(40), D(0), D(36))


def test_pairs_agree_within_three_seconds() -> None:
    # World Barista Championship rules, later text: within 3.0 s
    assert not agree(D("27.0"), D("30.1"))
    assert agree(D("27.0"), D("30.0"))
    assert agree(D("30.0"), D("27.0"))


def test_the_latest_pair_that_agrees_is_the_recipe() -> None:
    shots = [pulled("22", "8"), pulled("26"), pulled("27"), pulled("28")]
    assert pair_places(shots, TARGET) == (2, 3)
    assert recipe_pair(shots, TARGET) == (shots[2], shots[3])
    assert why_not(shots, TARGET) == ()


def test_a_spoilt_shot_between_does_no_harm_while_the_grinder_stays() -> None:
    shots = [pulled("27"), pulled("12", spoilt=True), pulled("28")]
    assert recipe_pair(shots, TARGET) == (shots[0], shots[2])


def test_the_grinder_moved_and_moved_back_starts_a_new_pair() -> None:
    shots = [pulled("27"), pulled("12", "8", spoilt=True), pulled("28")]
    assert recipe_pair(shots, TARGET) is None
    assert why_not(shots, TARGET) == (WhyNot.SETTING_MOVED,)


def test_trying_another_setting_afterwards_leaves_the_pair_standing() -> None:
    shots = [pulled("27"), pulled("28"), pulled("37", "6"), pulled("27.5")]
    assert recipe_pair(shots, TARGET) == (shots[0], shots[1])
    assert why_not(shots, TARGET) == ()


def test_a_later_shot_at_the_setting_outside_the_time_undoes_the_pair() -> None:
    shots = [pulled("27"), pulled("28"), pulled("40")]
    assert recipe_pair(shots, TARGET) is None
    assert why_not(shots, TARGET) == (WhyNot.OUTSIDE_TIME, WhyNot.DO_NOT_AGREE)


@pytest.mark.parametrize(
    ("shots", "reasons"),
    [
        ([], (WhyNot.TOO_FEW_SHOTS,)),
        ([pulled("27")], (WhyNot.TOO_FEW_SHOTS,)),
        ([pulled("27"), pulled("27", spoilt=True)], (WhyNot.TOO_FEW_SHOTS,)),
        ([pulled("27"), pulled("28", "6")], (WhyNot.SETTING_MOVED,)),
        ([pulled("25"), pulled("28.5")], (WhyNot.DO_NOT_AGREE,)),
        ([pulled("23"), pulled("24")], (WhyNot.OUTSIDE_TIME,)),
        ([pulled("27"), pulled("27", yield_g="39.7")], (WhyNot.OUTSIDE_YIELD,)),
        ([pulled("27"), pulled("27", dose_g="18.6")], (WhyNot.DOSES_DIFFER,)),
    ],
)
def test_why_there_is_no_recipe_yet(shots: list[Shot], reasons: tuple[WhyNot, ...]) -> None:
    assert recipe_pair(shots, TARGET) is None
    assert why_not(shots, TARGET) == reasons


def test_the_yield_band_is_a_tenth_either_side_unless_it_is_given() -> None:
    shots = [pulled("27", yield_g="39.6"), pulled("27", yield_g="32.4")]
    assert recipe_pair(shots, TARGET) == (shots[0], shots[1])
    assert recipe_pair(shots, TARGET, D(34), D(38)) is None
    with pytest.raises(ValueError, match="fewer grams to more"):
        recipe_pair(shots, TARGET, D(38), D(34))


def test_pressurised_spoilt_and_choked_shots_teach_no_time() -> None:
    good = pulled("27")
    choked = pulled("60", yield_g="0")
    dual_wall = Shot(D(7), D(18), D(36), D(27), pressurised=True)
    assert usable_shots([choked, dual_wall, good, pulled("20", spoilt=True)]) == (good,)


def test_impossible_shots_and_targets_are_refused() -> None:
    with pytest.raises(ValueError, match="less than nothing"):
        pulled("-1")
    with pytest.raises(ValueError, match="shorter to a longer"):
        Target(D(31), D(25), D(18), D(36))
    with pytest.raises(ValueError, match="dose and yield"):
        Target(D(25), D(31), D(0), D(36))


def test_doses_half_a_gram_apart_still_pair() -> None:
    # Italian Espresso National Institute: dose give or take 0.5 g
    shots = [pulled("27"), pulled("27", dose_g="18.5")]
    assert recipe_pair(shots, TARGET) == (shots[0], shots[1])


def faults(shots: list[Shot], *chosen: int) -> list[tuple[WhyNot, tuple[int, ...]]]:
    return [(fault.why, fault.places) for fault in run_faults(shots, chosen, TARGET)]


def test_three_shots_in_a_row_may_carry_a_recipe_and_the_slowest_and_fastest_decide() -> None:
    assert faults([pulled("27"), pulled("28"), pulled("30")], 0, 1, 2) == []
    assert faults([pulled("27"), pulled("28.5"), pulled("30.1")], 0, 1, 2) == [(WhyNot.DO_NOT_AGREE, (0, 2))]


def test_every_reason_names_its_shots() -> None:
    shots = [pulled("24", dose_g="17.9"), pulled("25", yield_g="40"), pulled("26", "8"), pulled("27", dose_g="18.6")]
    assert faults(shots, 0, 1, 2, 3) == [
        (WhyNot.SETTING_MOVED, (2,)),
        (WhyNot.OUTSIDE_TIME, (0,)),
        (WhyNot.OUTSIDE_YIELD, (1,)),
        (WhyNot.DOSES_DIFFER, (0, 3)),
    ]


def test_a_usable_shot_between_must_be_chosen_a_spoilt_one_at_that_setting_need_not() -> None:
    assert faults([pulled("27"), pulled("20"), pulled("27")], 0, 2) == [(WhyNot.LEFT_BETWEEN, (1,))]
    assert faults([pulled("27"), pulled("20", spoilt=True), pulled("27")], 0, 2) == []
    moved = [pulled("27"), pulled("20", "8", spoilt=True), pulled("27")]
    assert faults(moved, 0, 2) == [(WhyNot.SETTING_MOVED, (1,))]


def test_what_is_no_test_carries_nothing_and_one_shot_is_no_run() -> None:
    assert faults([pulled("27"), pulled("27", spoilt=True)], 0, 1) == [(WhyNot.NO_TEST, (1,))]
    assert faults([pulled("27"), pulled("27", yield_g="0")], 0, 1) == [(WhyNot.NO_TEST, (1,))]
    assert faults([pulled("27")], 0) == [(WhyNot.TOO_FEW_SHOTS, (0,))]


def test_a_later_shot_outside_at_that_setting_undoes_the_run() -> None:
    shots = [pulled("27"), pulled("28"), pulled("38", "6"), pulled("22")]
    assert faults(shots, 0, 1) == [(WhyNot.UNDONE, (3,))]
