"""Bands of the proving cards against the published figures named beside them."""

from decimal import Decimal

import pytest

from workshop.trade.coffee import bands


@pytest.mark.parametrize(
    ("rotary", "bar", "inside"),
    # Schulman 2013: vibratory 10 to 12 static, rotary 8 to 9.5; World Barista Championship floor 8.5
    [
        (False, "8.4", False),
        (False, "8.5", True),
        (False, "12.0", True),
        (False, "12.1", False),
        (True, "7.9", False),
        (True, "8.0", True),
        (True, "9.5", True),
        (True, "9.6", False),
    ],
)
def test_blind_pressure_at_and_beside_both_ends(rotary: bool, bar: str, inside: bool) -> None:
    assert bands.blind_pressure(rotary=rotary).holds(Decimal(bar)) is inside


@pytest.mark.parametrize(("temp_c", "inside"), [("87.9", False), ("88", True), ("96.1", True), ("96.2", False)])
def test_brewing_water_from_the_older_low_to_the_newer_high(temp_c: str, inside: bool) -> None:
    assert bands.brewing_water().holds(Decimal(temp_c)) is inside


@pytest.mark.parametrize(("highest", "usual"), [("95.0", True), ("95.1", False)])
def test_five_degrees_between_five_shots_are_usual(highest: str, usual: bool) -> None:
    assert bands.spread_is_usual(Decimal("90.0"), Decimal(highest)) is usual


@pytest.mark.parametrize(("ml", "inside"), [("69.9", False), ("70.0", True), ("300", True)])
def test_seven_tenths_of_the_models_usual_water(ml: str, inside: bool) -> None:
    assert bands.water_let_through(Decimal(100)).holds(Decimal(ml)) is inside


def test_water_let_through_is_told_in_whole_millilitres() -> None:
    assert str(bands.water_let_through(Decimal(84)).low) == "59"  # 58.8


def test_water_of_nothing_is_no_usual() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        bands.water_let_through(Decimal(0))


def test_beyond_the_meters_range_only_one_side_is_shown() -> None:
    pressure = bands.blind_pressure(rotary=False)
    assert [pressure.holds(Decimal(10), sign=sign) for sign in ("", ">", "<")] == [True, False, False]
    assert bands.water_let_through(Decimal(100)).holds(Decimal(200), sign=">")


def test_warm_up_by_kind_as_published() -> None:
    kinds = ("THERMOBLOCK", "SINGLE_BOILER", "HEAT_EXCHANGER", "DUAL_BOILER", "LEVER")
    assert [bands.warm_up_min(kind) for kind in kinds] == [(1, 3), (5, 10), (10, 15), (10, 15), None]


@pytest.mark.parametrize(
    ("bar", "inside"), [("7.9", False), ("8.0", True), ("10.0", True), ("10.1", False)]
)  # Italian Espresso National Institute: 9 +/- 1 bar
def test_pressure_in_a_shot_at_and_beside_both_ends(bar: str, inside: bool) -> None:
    assert bands.in_shot_pressure().holds(Decimal(bar)) is inside


@pytest.mark.parametrize(("temp_c", "inside"), [("84.9", False), ("85", True), ("98", True)])
def test_hot_water_is_85_or_more(temp_c: str, inside: bool) -> None:
    assert bands.hot_water().holds(Decimal(temp_c)) is inside


@pytest.mark.parametrize(("seconds", "inside"), [("0", True), ("5", True), ("5.1", False)])
def test_the_group_stops_dripping_within_five_seconds(seconds: str, inside: bool) -> None:
    assert bands.drip_stop().holds(Decimal(seconds)) is inside


@pytest.mark.parametrize(("watts", "inside"), [("599", False), ("600", True), ("1500", True)])
def test_steam_gives_at_least_half_of_the_boilers_watts(watts: str, inside: bool) -> None:
    assert bands.steam_power(Decimal(1200)).holds(Decimal(watts)) is inside


def test_a_boiler_of_nothing_has_no_steam_to_judge() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        bands.steam_power(Decimal(0))


@pytest.mark.parametrize(("last", "agree"), [("16.5", True), ("17.12", True), ("17.13", False), ("15.87", False)])
def test_five_doses_lie_within_half_a_gram_of_their_mean(last: str, agree: bool) -> None:
    # four of 16.5 and one x: the mean moves by (x - 16.5) / 5, so x lies 4/5 of its own step off: 0.625 g is the end
    assert bands.doses_agree([Decimal("16.5")] * 4 + [Decimal(last)]) is agree


@pytest.mark.parametrize(("left", "right", "agree"), [("19", "21", True), ("19", "21.1", False), ("0", "38", False)])
def test_spouts_share_within_a_tenth(left: str, right: str, agree: bool) -> None:
    assert bands.spouts_agree(Decimal(left), Decimal(right)) is agree
