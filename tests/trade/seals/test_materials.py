"""Rubbers by heat, at the limits of the source's own table."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workshop.trade.seals.materials import Material, suitable, suits

# bodeseal.com technical-support table: material, hot water, steam (None: not recommended), C.
TABLE = [
    (Material.EPDM_PEROXIDE, 150, 175),
    (Material.EPDM_SULFUR, 130, 130),
    (Material.VMQ, 100, 120),
    (Material.FKM, 80, None),
    (Material.NBR, 80, None),
]
DEGREE = Decimal("0.1")


@pytest.mark.parametrize(("material", "water_c", "steam_c"), TABLE)
def test_the_limit_is_allowed_and_a_tenth_more_is_not(material, water_c, steam_c):
    assert suits(material, temp_c=Decimal(water_c), steam=False)
    assert not suits(material, temp_c=water_c + DEGREE, steam=False)
    if steam_c is None:
        assert not suits(material, temp_c=Decimal(100), steam=True)
    else:
        assert suits(material, temp_c=Decimal(steam_c), steam=True)
        assert not suits(material, temp_c=steam_c + DEGREE, steam=True)


def test_a_steam_boiler_at_128_degrees_takes_epdm_only():
    assert suitable(temp_c=Decimal(128), steam=True) == (Material.EPDM_PEROXIDE, Material.EPDM_SULFUR)


def test_a_group_at_brew_temperature_takes_silicone_too_but_no_nitrile():
    assert suitable(temp_c=Decimal(95), steam=False) == (
        Material.EPDM_PEROXIDE,
        Material.EPDM_SULFUR,
        Material.VMQ,
    )


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(st.sampled_from(Material), st.decimals(0, 200, places=1), st.decimals(0, 50, places=1), st.booleans())
def test_what_fails_cool_never_stands_hot(material, temp_c, hotter, steam):
    assert suits(material, temp_c=temp_c, steam=steam) or not suits(material, temp_c=temp_c + hotter, steam=steam)


def test_no_temperature_is_no_answer():
    with pytest.raises(ValueError, match="must be a number"):
        suits(Material.NBR, temp_c=Decimal("NaN"), steam=False)


@pytest.mark.parametrize("material", Material)
def test_every_rubber_has_a_plain_label(material):
    assert material.label != material.value
