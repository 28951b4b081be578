"""The Langelier index against a printed example and against PHREEQC."""

from decimal import Decimal

import pytest

from tests.trade.water import phreeqc_bench
from workshop.trade.water.saturation import langelier_index, temp_factor

# Four waters: calcium, magnesium, alkalinity (mg/L as CaCO3), pH at 25 C, dissolved solids mg/L.
WATERS = {
    "A": (68, 0, 40, 7.0, 125),
    "B": (150, 0, 34, 7.5, 233),
    "C": (112, 38, 125, 7.7, 259),
    "D": (280, 20, 250, 7.4, 502),
}


def test_the_worked_pool_example_at_25_degrees():  # poolwaterexperts.com: B 2.09; pHs 8.2, so about -0.7
    assert temp_factor(Decimal(25)) == pytest.approx(2.09, abs=0.005)
    index = langelier_index(
        ph=Decimal("7.5"),
        tds_mg_l=Decimal(320),
        calcium_mg_l=Decimal(150),
        alkalinity_mg_l=Decimal(34),
        temp_c=Decimal(25),
    )
    assert index == Decimal("-0.73")


@pytest.mark.parametrize("temp_c", [25, 60, 93, 125])
@pytest.mark.parametrize("name", ["B", "C", "D"])
def test_the_index_stays_near_phreeqc(name, temp_c):
    calcium, magnesium, alkalinity, ph, tds = WATERS[name]
    index = langelier_index(
        ph=Decimal(str(ph)),
        tds_mg_l=Decimal(tds),
        calcium_mg_l=Decimal(calcium),
        alkalinity_mg_l=Decimal(alkalinity),
        temp_c=Decimal(temp_c),
    )
    second_opinion = phreeqc_bench.calcite_index(calcium, magnesium, alkalinity, ph, temp_c)
    assert float(index) == pytest.approx(second_opinion, abs=0.25)


@pytest.mark.parametrize("bad", [{"ph": "14.5"}, {"tds_mg_l": "0"}, {"alkalinity_mg_l": "-1"}, {"temp_c": "151"}])
def test_a_water_that_cannot_be_is_refused(bad):
    water = {
        "ph": "7",
        "tds_mg_l": "200",
        "calcium_mg_l": "100",
        "alkalinity_mg_l": "50",
        "temp_c": "25",
    } | bad
    with pytest.raises(ValueError, match=r"must|cannot"):
        langelier_index(**{name: Decimal(value) for name, value in water.items()})
