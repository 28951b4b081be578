"""What earlier units of a model teach the next one."""

from decimal import Decimal
from math import exp, log

import pytest

from workshop.trade.coffee.dial_in import Reason, Shot, Target, fit, next_to_try, prior_for
from workshop.trade.coffee.earlier import EarlierUnit, prior_from, start_from
from workshop.trade.scales import Scale, ScaleKind

D = Decimal
TARGET = Target(D(20), D(30), D(18), D(36))
STEPS = Scale(ScaleKind.STEPS, D(1), D(16), D(1), "LOWER")


def unit(left: int, slope: float, marks: tuple[int, ...]) -> EarlierUnit:
    """A unit that runs 24.5 s where it was left."""
    shots = [Shot(D(m), D(18), D(36), D(str(round(24.5 * exp(slope * (left - m)), 1)))) for m in (*marks, left, left)]
    return EarlierUnit(D(left), tuple(shots))


def median_slope(prior: object) -> float:
    return exp(sum(chance * log(slope.mean) for chance, slope in prior.slopes))  # type: ignore[attr-defined]


def test_without_earlier_units_it_is_the_house_s_belief() -> None:
    assert prior_from([], TARGET, STEPS) == prior_for(STEPS)
    assert start_from([], STEPS) is None


def test_the_next_unit_starts_where_the_last_three_were_left() -> None:
    start = start_from([unit(6, 0.15, (10,)), unit(8, 0.15, (11,)), unit(7, 0.15, (3,))], STEPS)
    assert start is not None
    assert (start.setting, start.left_low, start.left_high, start.units) == (D(7), D(6), D(8), 3)
    assert 1 < start.spread < prior_for(STEPS).reach  # three units do not make a law
    advice = next_to_try(fit([], TARGET, STEPS), start.setting)
    assert (advice.setting, advice.reason_code) == (D(7), Reason.EARLIER)


def test_a_start_past_twelve_on_a_dial_lies_between_its_neighbours() -> None:
    ring = Scale(ScaleKind.CLOCK, D(9), D(6), D("0.5"), "HIGHER")
    shot = Shot(D(11), D(18), D(36), D(25))
    start = start_from([EarlierUnit(D(11), (shot,)), EarlierUnit(D(1), (shot,))], ring)
    assert start is not None
    assert (start.setting, start.left_low, start.left_high) == (D(0), D(11), D(1))


def test_steep_units_make_the_next_one_believed_steep_and_the_more_the_surer() -> None:
    house = median_slope(prior_for(STEPS))
    few = median_slope(prior_from([unit(8, 0.3, (10, 6))] * 2, TARGET, STEPS))
    many = median_slope(prior_from([unit(8, 0.3, (10, 6))] * 12, TARGET, STEPS))
    assert house < few < many < 0.3


def test_a_unit_pulled_at_one_mark_teaches_next_to_nothing_of_the_slope() -> None:
    taught = median_slope(prior_from([unit(8, 0.3, ())] * 12, TARGET, STEPS))
    assert taught == pytest.approx(median_slope(prior_for(STEPS)), rel=0.25)


def test_chances_are_the_mean_of_the_house_s_three_and_of_each_unit() -> None:
    # by hand: what one unit says of every slope, averaged with the house's belief counted three times
    one, house = unit(8, 0.3, (10, 6)), prior_for(STEPS)
    alone = fit(one.shots, TARGET, STEPS)
    taught = prior_from([one], TARGET, STEPS)
    for (chance, slope), (before, _) in zip(taught.slopes, house.slopes, strict=True):
        said = sum(guess.weight for guess in alone.guesses if guess.slope == slope)
        assert chance == pytest.approx((3 * before + said) / 4)


def test_the_target_is_looked_for_by_the_surer_guide() -> None:
    alike = [unit(8, 0.15, (first,)) for first in (2, 4, 12, 14)]
    scattered = [unit(left, 0.15, (left + 1,)) for left in (2, 6, 10, 14)]
    by_model, by_first = prior_from(alike, TARGET, STEPS), prior_from(scattered, TARGET, STEPS)
    assert by_model.centre == 8
    assert by_first.centre is None
    assert max(by_model.reach, by_first.reach) < prior_for(STEPS).reach


def test_a_first_shot_on_a_known_model_is_brought_nearer_the_target() -> None:
    shots = [Shot(D(11), D(18), D(36), D(15))]
    earlier = [unit(8, 0.2, (11, 9))] * 10
    known, unknown = prior_from(earlier, TARGET, STEPS), prior_for(STEPS)
    chances = [fit(shots, TARGET, STEPS, prior).chance_inside(D(8)) for prior in (unknown, known)]
    assert chances[1] > chances[0] + 0.05
