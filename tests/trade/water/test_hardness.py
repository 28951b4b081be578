"""Hardness units against printed tables and the masses of an independent library."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from molmass import Formula

from workshop.trade.water import sources
from workshop.trade.water.hardness import (
    HardnessClass,
    HardnessUnit,
    as_caco3_mg_l,
    from_mmol_l,
    hardness_class,
    hardness_from_ions_mmol_l,
    strip_range,
    to_mmol_l,
)

units = st.sampled_from(HardnessUnit)
readings = st.decimals(min_value=0, max_value=2000, places=3)


# Printed by karrasch-eckert.de (2009): 1 mmol/L = 5.6 dH = 7.02 e = 10 fH = 100 ppm, and likewise for each.
@pytest.mark.parametrize(
    ("of", "to", "printed"),
    [
        (HardnessUnit.MMOL_L, HardnessUnit.DH, "5.6"),
        (HardnessUnit.MMOL_L, HardnessUnit.CLARK, "7.02"),
        (HardnessUnit.MMOL_L, HardnessUnit.FH, "10"),
        (HardnessUnit.MMOL_L, HardnessUnit.MG_L_CACO3, "100"),
        (HardnessUnit.DH, HardnessUnit.MMOL_L, "0.1783"),
        (HardnessUnit.DH, HardnessUnit.CLARK, "1.253"),
        (HardnessUnit.DH, HardnessUnit.FH, "1.78"),
        (HardnessUnit.DH, HardnessUnit.MG_L_CACO3, "17.8"),
        (HardnessUnit.CLARK, HardnessUnit.MMOL_L, "0.142"),
        (HardnessUnit.CLARK, HardnessUnit.DH, "0.798"),
        (HardnessUnit.CLARK, HardnessUnit.MG_L_CACO3, "14.3"),
        (HardnessUnit.FH, HardnessUnit.DH, "0.560"),
        (HardnessUnit.FH, HardnessUnit.CLARK, "0.702"),
    ],
)
def test_one_degree_reads_as_the_printed_table_says(of, to, printed):
    assert from_mmol_l(to_mmol_l(Decimal(1), of), to) == pytest.approx(Decimal(printed), rel=Decimal("0.005"))


@pytest.mark.parametrize(
    ("unit", "mg_l"),
    [
        (HardnessUnit.DH, "17.8480"),  # 10 mg CaO, masses by molmass
        (HardnessUnit.CLARK, "14.2538"),  # pint 0.25.3: grain per imperial gallon
        (HardnessUnit.GPG, "17.1181"),  # pint 0.25.3: grain per US gallon
    ],
)
def test_exact_factors_in_mg_per_litre(unit, mg_l):
    assert as_caco3_mg_l(to_mmol_l(Decimal(1), unit)) == pytest.approx(Decimal(mg_l), abs=Decimal("0.0001"))


def test_fifty_mg_per_litre_is_2_805_german_degrees():  # FAO glossary
    mmol_l = to_mmol_l(Decimal(50), HardnessUnit.MG_L_CACO3)
    assert from_mmol_l(mmol_l, HardnessUnit.DH) == pytest.approx(Decimal("2.805"), rel=Decimal("0.002"))


@pytest.mark.parametrize(("degrees", "mmol_l"), [("8.4", "1.5"), ("14", "2.5")])  # German WRMG, section 9
def test_the_bounds_of_the_german_washing_law(degrees, mmol_l):
    assert to_mmol_l(Decimal(degrees), HardnessUnit.DH) == pytest.approx(Decimal(mmol_l), abs=Decimal("0.01"))


def test_calcium_and_magnesium_of_a_water_report():  # tidywater docs, calculate_hardness: 166.0447 mg/L
    mmol_l = hardness_from_ions_mmol_l(calcium_mg_l=Decimal(50), magnesium_mg_l=Decimal(10))
    assert as_caco3_mg_l(mmol_l) == pytest.approx(Decimal("166.0447"), abs=Decimal("0.005"))


@pytest.mark.parametrize(
    ("figure", "formula"),
    [("CACO3_G_MOL", "CaCO3"), ("CAO_G_MOL", "CaO"), ("CALCIUM_G_MOL", "Ca"), ("MAGNESIUM_G_MOL", "Mg")],
)
def test_molar_masses_agree_with_molmass(figure, formula):
    assert float(getattr(sources, figure).value) == pytest.approx(Formula(formula).mass, abs=0.002)


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(readings, units)
def test_any_unit_there_and_back_is_the_same_reading(value, unit):
    assert from_mmol_l(to_mmol_l(value, unit), unit).quantize(Decimal("0.001")) == value


@pytest.mark.parametrize(
    ("mg_l", "word"),
    [
        ("0", HardnessClass.SOFT),
        ("60", HardnessClass.SOFT),
        ("61", HardnessClass.MODERATELY_HARD),
        ("120", HardnessClass.MODERATELY_HARD),
        ("121", HardnessClass.HARD),
        ("180", HardnessClass.HARD),
        ("181", HardnessClass.VERY_HARD),
    ],
)
def test_classes_at_their_printed_bounds(mg_l, word):  # USGS: 0-60, 61-120, 121-180, over 180
    assert hardness_class(to_mmol_l(Decimal(mg_l), HardnessUnit.MG_L_CACO3)) is word


# A machine manual (maker withheld): one to four fields are 0-7, 7-14, 14-21, over 21 dH.
def test_a_strip_reads_a_range_and_the_last_field_has_no_end():
    second, last = strip_range(2), strip_range(4)
    assert from_mmol_l(second.low_mmol_l, HardnessUnit.DH) == pytest.approx(Decimal(7))
    assert from_mmol_l(second.high_mmol_l, HardnessUnit.DH) == pytest.approx(Decimal(14))
    assert from_mmol_l(last.low_mmol_l, HardnessUnit.DH) == pytest.approx(Decimal(21))
    assert last.high_mmol_l is None


@pytest.mark.parametrize("fields", [0, 5])
def test_a_strip_has_one_to_four_fields(fields):
    with pytest.raises(ValueError, match="one to four"):
        strip_range(fields)


@pytest.mark.parametrize("bad", ["-0.1", "NaN", "Infinity"])
def test_hardness_is_never_below_nought_or_no_number(bad):
    with pytest.raises(ValueError, match="hardness"):
        to_mmol_l(Decimal(bad), HardnessUnit.DH)
    with pytest.raises(ValueError, match="hardness"):
        from_mmol_l(Decimal(bad), HardnessUnit.DH)


@pytest.mark.parametrize("unit", HardnessUnit)
def test_every_unit_has_a_plain_label(unit):
    assert unit.label != unit.value
