"""Ratio, flow and extraction yield against published worked examples."""

from decimal import Decimal
from math import pi

import pytest

from workshop.trade.coffee.extraction import dissolved_g, extraction_yield_percent, flow_g_s, ratio

D = Decimal


def test_ratio_of_18_g_to_36_g_is_two() -> None:
    # a calculator's espresso-extraction formula page: 18 g, 36 g, 28 s, 9 %
    assert ratio(D(18), D(36)) == 2


def test_36_g_in_28_s_flow_at_1_29_grams_a_second() -> None:
    # the same page prints 1.29 g/s
    assert round(flow_g_s(D(36), D(28)), 2) == D("1.29")


@pytest.mark.parametrize(
    ("dose_g", "yield_g", "tds_percent", "printed"),
    [
        ("18", "36", "9", "18.00"),  # the same page
        ("20", "40", "10", "20.00"),  # a roaster's page on espresso theory
        (
            "20",
            "40",
            "9.25",
            "18.50",
        ),  # baristas against volumetrics, goal 18.5 +/- 0.5
        ("20", "40", "10.23683", "20.47"),  # Schmieder et al., Foods 12 (2023) 2871, table S3 run 1
    ],
)
def test_extraction_yield_matches_the_printed_example(
    dose_g: str, yield_g: str, tds_percent: str, printed: str
) -> None:
    assert round(extraction_yield_percent(D(dose_g), D(yield_g), D(tds_percent)), 2) == D(printed)


def test_dissolved_grams_match_the_oven_dried_mass() -> None:
    # Schmieder et al. 2023, table S3 run 1 replicate 1: 4.09473 g solids in 40 g
    assert abs(dissolved_g(D(40), D("10.23683")) - D("4.09473")) < D("0.00001")


def test_the_printed_20_87_percent_lies_within_a_tenth_of_a_point() -> None:
    # Egidi et al., Chaos Solitons Fractals 188 (2024) 115625, table 2: 20 g, 40 g, 10.4 % prints 20.87
    ours = extraction_yield_percent(D(20), D(40), D("10.4"))
    assert ours == D("20.8")
    assert abs(ours - D("20.87")) <= D("0.1")


@pytest.mark.parametrize(
    ("tds_percent", "printed"),
    [
        (
            "9.6",
            "19.44",
        ),  # Egidi 2024 table 2, 20 g to 40 g, four grinds and pressures
        ("10.4", "20.87"),
        ("10.9", "22.09"),
        ("10.0", "20.43"),
        (
            "9.6",
            "19.91",
        ),  # Perticarini, PhD thesis (2024), table 4.2, six of them
        ("10.3", "20.77"),
        ("10.2", "20.90"),
        ("10.9", "21.77"),
        ("8.9", "18.24"),
        ("10.5", "21.35"),
    ],
)
def test_one_laboratory_s_cups_lie_within_four_percent(tds_percent: str, printed: str) -> None:
    ours = extraction_yield_percent(D(20), D(40), D(tds_percent))
    assert abs(ours / D(printed) - 1) <= D("0.04")


def test_mean_flow_agrees_with_the_measured_flux() -> None:
    # Cameron et al. 2020, table S3: dial 2.1, flux 5.63e-4 m/s through a basket of 29.2 mm radius for 26.6 s
    flux_ml = 5.63e-4 * pi * 0.0292**2 * 26.6 * 1e6
    assert round(flux_ml, 1) == 40.1
    assert abs(float(flow_g_s(D(40), D("26.6"))) * 26.6 / flux_ml - 1) < 0.005


def test_a_shot_without_dose_time_or_with_an_impossible_strength_is_refused() -> None:
    with pytest.raises(ValueError, match="dose must be more"):
        ratio(D(0), D(36))
    with pytest.raises(ValueError, match="time must be more"):
        flow_g_s(D(36), D(0))
    with pytest.raises(ValueError, match="yield cannot be less"):
        flow_g_s(D(-1), D(20))
    with pytest.raises(ValueError, match="percentage"):
        extraction_yield_percent(D(18), D(36), D(101))
    assert flow_g_s(D(0), D(40)) == 0  # choked
