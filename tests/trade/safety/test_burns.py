"""Burn rows and steam temperatures."""

import math
from decimal import Decimal

from workshop.trade.safety.burns import BURN_ROWS, STEAM_ROWS, Harm, burn_row


def test_water_at_60_degrees():
    # antiscald.com, exposure time to receive a severe burn (check value 19).
    assert burn_row(Decimal(60), Harm.SECOND_DEGREE).seconds == Decimal(3)
    assert burn_row(Decimal(60), Harm.THIRD_DEGREE).seconds == Decimal(5)
    severe = burn_row(Decimal(60), Harm.SEVERE)
    assert (severe.sign, severe.seconds) == ("<", Decimal(5))


def test_between_rows_the_cooler_row_speaks_and_under_the_table_nothing():
    assert burn_row(Decimal("59.9"), Harm.THIRD_DEGREE).temp_c == Decimal(55)
    assert burn_row(Decimal(93), Harm.SECOND_DEGREE).temp_c == Decimal(60)
    assert burn_row(Decimal("44.9"), Harm.SECOND_DEGREE) is None
    assert burn_row(Decimal(45), Harm.SEVERE) is None


def test_hotter_water_never_takes_longer_and_deeper_burns_never_less():
    for harm in Harm:
        rows = sorted((row for row in BURN_ROWS if row.harm is harm), key=lambda row: row.temp_c)
        times = [row.seconds for row in rows]
        assert times == sorted(times, reverse=True)
    for row in BURN_ROWS:
        if row.harm is Harm.SECOND_DEGREE:
            assert burn_row(row.temp_c, Harm.THIRD_DEGREE).seconds > row.seconds


def if97_saturation_k(mpa: float) -> float:
    """IAPWS-IF97 region 4, backward equation, written out from the release."""
    n = (
        0.11670521452767e4,
        -0.72421316703206e6,
        -0.17073846940092e2,
        0.12020824702470e5,
        -0.32325550322333e7,
        0.14915108613530e2,
        -0.48232657361591e4,
        0.40511340542057e6,
        -0.23855557567849,
        0.65017534844798e3,
    )
    beta = mpa**0.25
    e = beta**2 + n[2] * beta + n[5]
    f = n[0] * beta**2 + n[3] * beta + n[6]
    g = n[1] * beta**2 + n[4] * beta + n[7]
    d = 2 * g / (-f - math.sqrt(f**2 - 4 * e * g))
    return (n[9] + d - math.sqrt((n[9] + d) ** 2 - 4 * (n[8] + n[9] * d))) / 2


def test_steam_rows_agree_with_the_steam_tables():
    # Table 36 of the release: 0.1 MPa and 1 MPa.
    assert round(if97_saturation_k(0.1), 6) == 372.755919
    assert round(if97_saturation_k(1.0), 6) == 453.035632
    for row in STEAM_ROWS:
        absolute_mpa = float(row.pressure_bar) / 10 + 0.101325
        assert Decimal(round(if97_saturation_k(absolute_mpa) - 273.15)) == row.temp_c
