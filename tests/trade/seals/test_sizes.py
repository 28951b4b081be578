"""The ring table against an independent inch table, the Navy's manual and the metric tolerance formula."""

from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest

from workshop.trade.seals.sizes import (
    Standard,
    as568,
    as568_size,
    iso3601_sections,
    iso_id_tol_mm,
    iso_section_tol_mm,
    metric_size,
)

INCH_MM = Decimal("25.4")
# The inch table's sections and their tolerances, by first dash digit; the first three differ.
SECTIONS_IN = {"0": ("0.070", "0.003"), "1": ("0.103", "0.003"), "2": ("0.139", "0.004")}
FIRST_SECTIONS_IN = {"001": "0.040", "002": "0.050", "003": "0.060"}


def hundredths(inches):
    return (Decimal(inches) * INCH_MM).quantize(Decimal("0.01"), ROUND_HALF_UP)


def inch_rows():
    text = (Path(__file__).parent / "independent_as568.txt").read_text(encoding="utf-8")
    return [tuple(line.split()) for line in text.splitlines() if not line.startswith("#")]


def test_the_independent_table_is_whole():
    """50 thin ones, 106 to 150 and 201 to 250."""
    dashes = [row[0] for row in inch_rows()]
    assert dashes == [f"{number:03}" for number in (*range(1, 51), *range(106, 151), *range(201, 251))]


@pytest.mark.parametrize(("dash", "id_in", "tol_thousandths"), inch_rows())
def test_each_size_agrees_with_the_inch_table(dash, id_in, tol_thousandths):
    section_in, section_tol_in = SECTIONS_IN[dash[0]]
    size = as568_size(dash)
    assert size.id_mm == hundredths(id_in)
    assert size.id_tol_mm == hundredths(Decimal(tol_thousandths) / 1000)
    assert size.section_mm == hundredths(FIRST_SECTIONS_IN.get(dash, section_in))
    assert size.section_tol_mm == hundredths(section_tol_in)


def test_the_navy_manual_prints_429():
    """NAVEDTRA 14105 chapter 7: AS568-429 is 4.975 x 5.525 x 0.275 inches."""
    size = as568_size("-429")
    assert size.id_mm == hundredths("4.975")
    assert size.section_mm == hundredths("0.275")
    assert size.id_mm + 2 * size.section_mm == pytest.approx(hundredths("5.525"), abs=Decimal("0.02"))


# bd_warehouse 0.4.0 (ISO 3601-1 class A).
@pytest.mark.parametrize(
    ("dash", "id_mm", "section_mm"),
    [("214", "24.99", "3.53"), ("025", "29.87", "1.78"), ("112", "12.37", "2.62")],
)
def test_three_common_espresso_rings(dash, id_mm, section_mm):
    size = as568_size(dash)
    assert (size.id_mm, size.section_mm) == (Decimal(id_mm), Decimal(section_mm))


# Dashes that lists in circulation misprint, with the right inside diameter in mm.
@pytest.mark.parametrize(
    ("dash", "id_mm"),
    [
        ("020", "21.95"),
        ("030", "41.00"),
        ("240", "94.84"),
        ("250", "126.59"),
        ("284", "456.06"),
        ("319", "26.34"),  # 1.037 in, printed 1.034
        ("377", "253.37"),  # 9.975 in, printed 9.925
        ("456", "342.27"),  # 13.475 in, printed 13.457
    ],
)
def test_the_usual_misprints_are_not_here(dash, id_mm):
    assert as568_size(dash).id_mm == Decimal(id_mm)


def test_all_349_sizes_are_here_once_in_order():
    dashes = [size.dash for size in as568()]
    assert len(dashes) == 349
    assert dashes == sorted(set(dashes))
    assert {size.standard for size in as568()} == {Standard.AS568}


@pytest.mark.parametrize("dash", ["000", "051", "abc", ""])
def test_a_dash_number_that_is_none(dash):
    with pytest.raises(ValueError, match="no dash number"):
        as568_size(dash)


# ISO 3601-1:2012, equation A.1, worked for three diameters.
@pytest.mark.parametrize(("id_mm", "half_width"), [(10, "0.19"), (20, "0.26"), (50, "0.48")])
def test_metric_diameter_tolerance(id_mm, half_width):
    assert iso_id_tol_mm(Decimal(id_mm)) == Decimal(half_width)


def test_metric_sections_include_the_near_twins_of_the_inch_ones():
    sections = iso3601_sections()
    assert sections == tuple(sorted(set(sections)))
    assert len(sections) == 15
    assert {Decimal("1.80"), Decimal("2.65"), Decimal("3.55")} < set(sections)


def test_a_metric_ring_is_named_by_its_measures():
    size = metric_size(Decimal("25.0"), Decimal("3.50"))
    assert (size.standard, size.dash, size.id_tol_mm, size.section_tol_mm) == (
        Standard.ISO3601,
        "25x3.5",
        Decimal("0.30"),
        Decimal("0.10"),
    )


@pytest.mark.parametrize("bad", ["0", "-1"])
def test_no_ring_is_thinner_than_nothing(bad):
    with pytest.raises(ValueError, match="above"):
        iso_section_tol_mm(Decimal(bad))
    with pytest.raises(ValueError, match="above"):
        iso_id_tol_mm(Decimal(bad))


def test_sections_end_at_8_4_mm():
    assert iso_section_tol_mm(Decimal("8.4")) == Decimal("0.15")
    with pytest.raises(ValueError, match=r"8\.4"):
        iso_section_tol_mm(Decimal("8.5"))


@pytest.mark.parametrize("standard", Standard)
def test_each_table_has_a_plain_label(standard):
    assert standard.label != standard.value
