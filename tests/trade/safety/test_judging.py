"""Readings against limits: signs, missing rows, the 250 V rule, fuses and watts."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.safety.electrical import (
    PROFILES,
    Appliance,
    ApplianceClass,
    Measure,
    State,
    fuse_rating_a,
    insulation_volts,
    judge,
    needed_measures,
    needs_leakage,
    plain_number,
    pump_watts_band,
    rated_watts_band,
    resistive_leakage_ma,
    verdict,
)

UK, DE, AUNZ = PROFILES["uk_iet_5"], PROFILES["de_en50678"], PROFILES["aunz_5761"]
EARTH, INSULATION = Measure.EARTH_OHM, Measure.INSULATION_MOHM
LEAKAGE, TOUCH = Measure.LEAKAGE_MA, Measure.TOUCH_MA
ONE = Appliance(ApplianceClass.CLASS_I, Decimal(2), Decimal("1.0"), Decimal(1300))
TWO = Appliance(ApplianceClass.CLASS_II, None, None, Decimal(1300))


def judged(profile, measure, value, sign="", unit=ONE):
    return judge(profile.limit(measure, unit), Decimal(value), sign=sign)


def test_over_range_insulation_passes_and_keeps_its_sign():
    over = judged(UK, INSULATION, "99.9", ">")
    assert (over.state, over.sign, over.value) == (State.PASS, ">", Decimal("99.9"))
    assert over.words == "> 99.9 megohm, limit 0.3 megohm or more: passed"


@pytest.mark.parametrize(
    ("measure", "value", "sign", "expected"),
    [
        (INSULATION, "0.2", ">", State.FAIL),  # the range ended below the limit: nothing shown
        (INSULATION, "0.3", ">", State.PASS),
        (INSULATION, "99.9", "<", State.FAIL),
        (EARTH, "0.01", ">", State.FAIL),
        (EARTH, "0.01", "<", State.PASS),
        (EARTH, "0.2", "<", State.FAIL),
        (LEAKAGE, "0.1", ">", State.FAIL),
        (LEAKAGE, "0.1", "<", State.PASS),
    ],
)
def test_a_sign_proves_only_its_own_direction(measure, value, sign, expected):
    assert judged(UK, measure, value, sign).state is expected


def test_without_a_limit_a_reading_is_recorded():
    note = judge(None, Decimal("0.20"))
    assert (note.state, note.words) == (State.RECORDED, "0.2: recorded, no limit here")


def test_a_failed_reading_says_so():
    assert judged(UK, EARTH, "0.16").words == "0.16 ohm, limit 0.139 ohm or less: failed"


@pytest.mark.parametrize("bad", ["-0.1", "NaN", "Infinity"])
def test_impossible_readings_are_refused(bad):
    with pytest.raises(ValueError, match="zero or more"):
        judge(None, Decimal(bad))


@given(st.decimals("0", "10", places=3), st.decimals("0", "10", places=3))
def test_a_better_reading_never_turns_a_pass_into_a_fail(first, second):
    lower, higher = sorted((first, second))
    if judged(UK, EARTH, higher).state is State.PASS:
        assert judged(UK, EARTH, lower).state is State.PASS
    if judged(UK, INSULATION, lower).state is State.PASS:
        assert judged(UK, INSULATION, higher).state is State.PASS


def test_250_volts_needs_leakage_beside_it_in_uk_and_germany_only():
    # AS/NZS accepts 1 megohm at 250 V (check value 7, a test training page).
    codes = ("uk_iet_5", "uk_iet_4", "de_en50678", "aunz_5761", "us_record", "record_only")
    assert [needs_leakage(PROFILES[code], 250) for code in codes] == [True, True, True, False, False, False]
    assert [needs_leakage(PROFILES[code], 500) for code in codes] == [False] * 6
    assert judged(AUNZ, INSULATION, "1.0").state is State.PASS


def test_elements_in_circuit_need_leakage_beside_the_low_limit():
    hot = Appliance(ApplianceClass.CLASS_I, None, None, Decimal(1300), elements_in_circuit=True)
    assert needs_leakage(AUNZ, 500, hot)
    assert not needs_leakage(AUNZ, 500, ONE)
    assert not needs_leakage(UK, 500, hot)


def test_surge_parts_are_tested_gently():
    filtered = Appliance(ApplianceClass.CLASS_I, None, None, None, has_surge_parts=True)
    assert (insulation_volts(filtered), insulation_volts(ONE)) == (250, 500)


def test_needed_readings_follow_class_and_voltage():
    assert needed_measures(UK, ONE, 500) == (EARTH, INSULATION)
    assert needed_measures(UK, ONE, 250) == (EARTH, INSULATION, LEAKAGE)
    assert needed_measures(UK, TWO, 500) == (INSULATION,)
    assert needed_measures(DE, TWO, 250) == (INSULATION, TOUCH)
    assert needed_measures(PROFILES["us_record"], ONE, 500) == ()


def test_a_missing_earth_reading_is_never_a_pass():
    only_insulation = {INSULATION: judged(UK, INSULATION, "50")}
    result = verdict(UK, ONE, only_insulation, ir_volts=500)
    assert (result.state, result.missing) == (State.NOT_VERIFIED, (EARTH,))


def test_the_worst_row_is_the_result():
    good = {EARTH: judged(UK, EARTH, "0.12"), INSULATION: judged(UK, INSULATION, "50")}
    assert verdict(UK, ONE, good, ir_volts=500).state is State.PASS
    assert verdict(UK, ONE, good, ir_volts=250).missing == (LEAKAGE,)
    bad = good | {LEAKAGE: judged(UK, LEAKAGE, "5.1")}
    assert verdict(UK, ONE, bad, ir_volts=500).state is State.FAIL
    us = PROFILES["us_record"]
    assert verdict(us, ONE, {EARTH: judged(us, EARTH, "9")}, ir_volts=500).state is State.RECORDED


@pytest.mark.parametrize(
    ("watts", "amperes"), [("1", 3), ("700", 3), ("700.1", 13), ("1350", 13), ("2900", 13), ("3120", 13)]
)
def test_uk_fuse_by_watts(watts, amperes):
    # BS 1362 as printed on a test firm's plug page: 700 W and 1350 W are check value 14.
    assert fuse_rating_a(Decimal(watts)) == amperes


@pytest.mark.parametrize("watts", ["0", "-5", "3121", "NaN"])
def test_no_fuse_for_impossible_watts(watts):
    with pytest.raises(ValueError, match=r"above zero|13 A plug"):
        fuse_rating_a(Decimal(watts))


@pytest.mark.parametrize(
    ("watts", "low", "high"),
    # IEC 60335-1 clause 10 from memory: -10 %, +5 % or +20 W; 400 W is where the two meet.
    [("300", "270", "320"), ("400", "360", "420"), ("1300", "1170", "1365"), ("1450", "1305", "1522.5")],
)
def test_watts_band_of_a_healthy_heater(watts, low, high):
    band = rated_watts_band(Decimal(watts))
    assert (band.low, band.high) == (Decimal(low), Decimal(high))
    assert band.holds(band.low)
    assert band.holds(band.high)
    assert not band.holds(band.low - Decimal("0.1"))
    assert not band.holds(band.high + Decimal("0.1"))


def test_watts_band_moves_with_the_supply():
    band = rated_watts_band(Decimal(1300), plate_volts=Decimal(230), measured_volts=Decimal(240))
    # (240 / 230)² = 1.088847: by hand 1273.95 and 1486.28
    assert (band.low, band.high) == (Decimal("1274.0"), Decimal("1486.3"))
    half_dead = rated_watts_band(Decimal(1300))
    assert not half_dead.holds(Decimal(650))


def test_watts_band_is_refused_where_no_figure_is_known():
    with pytest.raises(ValueError, match="200 W or less"):
        rated_watts_band(Decimal(200))
    with pytest.raises(ValueError, match="or neither"):
        rated_watts_band(Decimal(1300), plate_volts=Decimal(230))


def test_leakage_through_a_resistance():
    # Worked row 17: 0.3 megohm at 230 V.
    assert resistive_leakage_ma(Decimal(230), Decimal("0.3")) == Decimal("0.77")
    # 10 kilohm passes 23 mA: why the element limit is never alone.
    assert resistive_leakage_ma(Decimal(230), Decimal("0.01")) == Decimal("23.00")
    with pytest.raises(ValueError, match="above zero"):
        resistive_leakage_ma(Decimal(230), Decimal(0))


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("0.300", "0.3"),
        ("1", "1.0"),
        ("1.00", "1.0"),
        ("0.139", "0.139"),
        ("10", "10.0"),
        ("100", "100.0"),
        ("0", "0.0"),
    ],
)
def test_numbers_print_without_noise(value, words):
    assert plain_number(Decimal(value)) == words


@pytest.mark.parametrize(
    ("watts", "holds"), [("38.3", False), ("38.4", True), ("57.6", True), ("57.7", False)]
)  # 48 W, a fifth either side
def test_watts_band_of_a_pump(watts, holds):
    assert pump_watts_band(Decimal(48)).holds(Decimal(watts)) is holds


@pytest.mark.parametrize("watts", ["0", "-1", "301"])
def test_watts_band_of_a_pump_is_refused_where_no_figure_is_known(watts):
    with pytest.raises(ValueError, match="no band is known"):
        pump_watts_band(Decimal(watts))
