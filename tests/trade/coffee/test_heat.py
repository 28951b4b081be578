"""Elements, steam and boiler gauges against published and derived values."""

from decimal import Decimal

import pytest

from workshop.trade.coffee.heat import (
    Liquid,
    _saturation_k,
    condensate_g,
    element_current_a,
    element_resistance_ohm,
    net_steam_watts,
    saturation_temp_c,
    warming_kj,
)

D = Decimal


@pytest.mark.parametrize(("volts", "ohm", "ampere"), [("230", "40.7", "5.65"), ("120", "11.1", "10.83")])
def test_a_1300_w_element_against_its_plate(volts: str, ohm: str, ampere: str) -> None:
    # V x V / W and W / V by hand
    assert round(element_resistance_ohm(D(1300), D(volts)), 1) == D(ohm)
    assert round(element_current_a(D(1300), D(volts)), 2) == D(ampere)


def test_half_the_element_gone_reads_twice_the_ohms() -> None:
    assert element_resistance_ohm(D(650), D(230)) == 2 * element_resistance_ohm(D(1300), D(230))


def test_150_g_of_milk_from_4_to_60_degrees_takes_33_kj() -> None:
    # derived check value: 33.0 kJ, 33 s for each net kilowatt, 13.4 g of condensate
    assert round(warming_kj(D(150), D(4), D(60)), 1) == D("33.0")
    assert round(net_steam_watts(D(150), D(4), D(60), D(33))) == 1000
    assert round(condensate_g(D(150), D(4), D(60)), 1) == D("13.4")


def test_water_takes_more_heat_than_milk() -> None:
    water = net_steam_watts(D(200), D(15), D(60), D(40), Liquid.WATER)
    assert water == D("940.5")
    assert water > net_steam_watts(D(200), D(15), D(60), D(40))


@pytest.mark.parametrize(("mpa", "kelvin"), [(0.1, 372.755919), (1, 453.035632), (10, 584.149488)])
def test_saturation_meets_the_formulation_s_own_check_table(mpa: float, kelvin: float) -> None:
    # IAPWS R7-97(2012), table 36
    assert _saturation_k(mpa) == pytest.approx(kelvin, abs=5e-7)


@pytest.mark.parametrize(
    ("gauge_bar", "whole_degrees"), [("1.0", "120"), ("1.2", "123"), ("1.5", "128"), ("2.0", "134")]
)
def test_boiler_heat_from_its_gauge(gauge_bar: str, whole_degrees: str) -> None:
    # saturation row of the hazards table, derived elsewhere from the same formulation
    assert round(saturation_temp_c(D(gauge_bar))) == int(whole_degrees)


def test_an_open_boiler_at_sea_level_boils_at_a_hundred() -> None:
    assert saturation_temp_c(D(0)) == D("100.0")


def test_impossible_measures_are_refused() -> None:
    with pytest.raises(ValueError, match="watts must be more"):
        element_resistance_ohm(D(0), D(230))
    with pytest.raises(ValueError, match="warmer"):
        warming_kj(D(150), D(60), D(60))
    with pytest.raises(ValueError, match="time must be more"):
        net_steam_watts(D(150), D(4), D(60), D(0))
    with pytest.raises(ValueError, match="from 0 to 25"):
        saturation_temp_c(D(110))  # kilopascal typed as bar
    with pytest.raises(ValueError, match="from 0 to 25"):
        saturation_temp_c(D("-0.1"))
