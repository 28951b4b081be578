"""Rinse volumes against the textbook, residual acid against PHREEQC with calcium citrate complexes."""

from decimal import Decimal

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.trade.water import phreeqc_bench
from workshop.trade.water.descaling import Agent
from workshop.trade.water.rinsing import (
    BoilerKind,
    detection_limit_mg_l,
    fills_needed,
    residual_mg_l,
    rinse_volume_l,
)

CITRIC = Agent.CITRIC_ANHYDROUS
TWO_PERCENT = Decimal(2)
strengths = st.decimals("0.1", 20, places=1)
targets = st.decimals(1, 500, places=0)


def test_the_textbook_tank():
    """200 L at 1 g/L, 2 L/min through it, to 1 %: 460.5 minutes, so 921 L."""
    litres = rinse_volume_l(
        Decimal(200),
        kind="FLOW_THROUGH",
        strength_percent=Decimal("0.1"),
        target_mg_l=Decimal(10),
    )
    assert litres / 2 == pytest.approx(Decimal("460.5"), abs=Decimal("0.1"))


# Computed once and checked by hand: ln of 10, 100, 1000 and 2000 volumes.
@pytest.mark.parametrize(("left", "volumes"), [(10, "2.303"), (100, "4.605"), (1000, "6.908"), (2000, "7.601")])
def test_volumes_through_a_stirred_boiler(left, volumes):
    litres = rinse_volume_l(
        Decimal(100),
        kind="FLOW_THROUGH",
        strength_percent=TWO_PERCENT,
        target_mg_l=Decimal(20000) / left,
    )
    assert litres == pytest.approx(100 * Decimal(volumes), abs=Decimal("0.15"))


# The same table: fills at a drained share of 0.8, 0.9, 0.95 for 1 %, 0.1 % and 0.05 % left.
@pytest.mark.parametrize(("target_mg_l", "fills"), [("200", (3, 2, 2)), ("20", (5, 3, 3)), ("10", (5, 4, 3))])
def test_fills_by_how_well_it_drains(target_mg_l, fills):
    found = tuple(
        fills_needed(strength_percent=TWO_PERCENT, drained_fraction=Decimal(share), target_mg_l=Decimal(target_mg_l))
        for share in ("0.8", "0.9", "0.95")
    )
    assert found == fills


def test_two_per_cent_in_a_small_boiler():
    asked = {"strength_percent": TWO_PERCENT}
    assert rinse_volume_l(Decimal("0.3"), kind="FLOW_THROUGH", **asked) == Decimal("2.3")  # 7.6 x 0.3
    assert rinse_volume_l(Decimal("0.3"), kind="FILL_AND_DRAIN", **asked) == Decimal("1.2")  # 4 fills
    assert rinse_volume_l(Decimal("0.3"), kind="PLUG", **asked) == Decimal("2.3")


def test_a_pipe_must_be_pushed_through_once_even_for_a_weak_rinse():
    asked = {"strength_percent": Decimal("0.1"), "target_mg_l": Decimal(500)}  # halve it
    assert rinse_volume_l(Decimal(1), kind="PLUG", **asked) == 1
    assert rinse_volume_l(Decimal(1), kind="FLOW_THROUGH", **asked) == Decimal("0.7")


@pytest.mark.parametrize("kind", BoilerKind)
def test_weaker_than_the_target_needs_no_water(kind):
    asked = {"strength_percent": Decimal("0.1"), "target_mg_l": Decimal(1000)}
    assert rinse_volume_l(Decimal(1), kind=kind, **asked) == 0
    assert kind.label != kind.value


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(st.sampled_from(BoilerKind), strengths, targets, targets)
def test_a_stricter_target_never_takes_less_water(kind, strength, one, other):
    strict, loose = sorted((one, other))
    need = {
        target: rinse_volume_l(Decimal(1), kind=kind, strength_percent=strength, target_mg_l=target)
        for target in (strict, loose)
    }
    assert need[strict] >= need[loose]


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(strengths, targets, st.decimals("0.5", "0.99", places=2))
def test_the_fills_reach_the_target_and_one_fewer_does_not(strength, target, share):
    fills = fills_needed(strength_percent=strength, drained_fraction=share, target_mg_l=target)
    left = strength * 10_000 * (1 - share) ** fills
    assert left <= target * Decimal("1.000001")
    assert fills == 0 or left / (1 - share) > target


# Feed by alkalinity, calcium (mg/L as CaCO3) and pH; citric acid in mg/L.
@pytest.mark.parametrize("citric_mg_l", [5, 10, 20, 50])
@pytest.mark.parametrize(
    ("alkalinity", "calcium", "ph"), [(100, 100, 7.8), (150, 180, 7.6), (250, 280, 7.4), (300, 330, 7.2)]
)
def test_the_acid_found_is_the_acid_phreeqc_was_given(alkalinity, calcium, ph, citric_mg_l):
    sample_ph = phreeqc_bench.ph_with_citric(calcium, alkalinity, ph, citric_mg_l)
    found = residual_mg_l(
        CITRIC,
        feed_alkalinity_mg_l=Decimal(alkalinity),
        feed_ph=Decimal(str(ph)),
        sample_ph=Decimal(str(round(sample_ph, 4))),
    )
    assert float(found) == pytest.approx(citric_mg_l, rel=0.2)


# Feeds too soft for the bicarbonate reckoning alone, and acid that outruns the alkalinity.
@pytest.mark.parametrize(
    ("alkalinity", "calcium", "ph", "citric_mg_l"),
    [(5, 5, 6.5, 2), (5, 5, 6.5, 5), (10, 10, 6.8, 50), (40, 68, 7.0, 100), (60, 100, 7.2, 100)],
)
def test_in_soft_water_the_answer_is_never_under_what_phreeqc_was_given(alkalinity, calcium, ph, citric_mg_l):
    sample_ph = phreeqc_bench.ph_with_citric(calcium, alkalinity, ph, citric_mg_l)
    found = residual_mg_l(
        CITRIC,
        feed_alkalinity_mg_l=Decimal(alkalinity),
        feed_ph=Decimal(str(ph)),
        sample_ph=Decimal(str(round(sample_ph, 4))),
    )
    assert citric_mg_l <= found <= citric_mg_l * Decimal("1.4")


# PHREEQC 3.8.6, minteq.v4: pH drop in demineralised water (alkalinity 0.5, pH 5.8).
@pytest.mark.parametrize(
    ("citric_mg_l", "drop"), [(5, "1.23"), (10, "1.52"), (20, "1.79"), (50, "2.12"), (100, "2.35")]
)
def test_low_mineral_water_shows_milligrams(citric_mg_l, drop):
    found = residual_mg_l(
        CITRIC,
        feed_alkalinity_mg_l=Decimal("0.5"),
        feed_ph=Decimal("5.8"),
        sample_ph=Decimal("5.8") - Decimal(drop),
    )
    assert found == pytest.approx(Decimal(citric_mg_l), rel=Decimal("0.05"))


# A table worked out beforehand by the bare bicarbonate formula (pK1 6.35): citric for a drop of 0.2 to 1.0.
@pytest.mark.parametrize(
    ("alkalinity", "ph", "found"),
    [
        (40, "7.0", ("4.9", "7.9", "14.5", "31.8")),
        (60, "7.2", ("5.2", "8.4", "16.2", "40.5")),
        (100, "7.8", ("2.5", "4.2", "8.8", "30.2")),
        (150, "7.6", ("5.8", "9.7", "19.8", "62.2")),
        (250, "7.4", ("14.6", "24.1", "48.1", "136")),
        (300, "7.2", ("25.9", "42.1", "81.1", "202")),
    ],
)
def test_the_table_of_drops(alkalinity, ph, found):
    for drop, citric_mg_l in zip(("0.2", "0.3", "0.5", "1.0"), found, strict=True):
        ours = residual_mg_l(
            CITRIC,
            feed_alkalinity_mg_l=Decimal(alkalinity),
            feed_ph=Decimal(ph),
            sample_ph=Decimal(ph) - Decimal(drop),
        )
        assert ours == pytest.approx(Decimal(citric_mg_l), rel=Decimal("0.03"), abs=Decimal("0.3"))


def test_ten_milligrams_of_citric_at_alkalinity_100():  # PHREEQC and formula: 0.54 pH
    found = residual_mg_l(CITRIC, feed_alkalinity_mg_l=Decimal(100), feed_ph=Decimal("7.8"), sample_ph=Decimal("7.26"))
    assert found == pytest.approx(Decimal(10), abs=Decimal("0.5"))


def test_other_acids_weigh_by_their_equivalents():
    """Per milliequivalent: citric 64.04, lactic 90.08, sulfamic 97.09 mg."""
    asked = {"feed_alkalinity_mg_l": Decimal(250), "feed_ph": Decimal("7.4"), "sample_ph": Decimal("7.1")}
    citric, lactic, sulfamic = (residual_mg_l(agent, **asked) for agent in (CITRIC, Agent.LACTIC, Agent.SULFAMIC))
    assert lactic / citric == pytest.approx(Decimal("90.08") / Decimal("64.04"), rel=Decimal("0.005"))
    assert sulfamic / citric == pytest.approx(Decimal("97.09") / Decimal("64.04"), rel=Decimal("0.005"))


def test_no_drop_is_no_acid_found_but_the_limit_says_what_could_hide():
    asked = {"feed_alkalinity_mg_l": Decimal(280), "feed_ph": Decimal("7.3")}
    assert residual_mg_l(CITRIC, **asked, sample_ph=Decimal("7.3")) == 0
    assert residual_mg_l(CITRIC, **asked, sample_ph=Decimal("7.6")) == 0
    coarse = detection_limit_mg_l(CITRIC, **asked, meter_resolution_ph=Decimal("0.2"))
    fine = detection_limit_mg_l(CITRIC, **asked, meter_resolution_ph=Decimal("0.1"))
    assert fine == pytest.approx(coarse / 2, rel=Decimal("0.15"))  # about half of the 0.2 column
    assert coarse == residual_mg_l(CITRIC, **asked, sample_ph=Decimal("7.1"))


def test_low_mineral_water_finds_less_than_hard_water_hides():
    hard = detection_limit_mg_l(
        CITRIC,
        feed_alkalinity_mg_l=Decimal(250),
        feed_ph=Decimal("7.4"),
        meter_resolution_ph=Decimal("0.2"),
    )
    low = detection_limit_mg_l(
        CITRIC,
        feed_alkalinity_mg_l=Decimal("0.5"),
        feed_ph=Decimal("5.8"),
        meter_resolution_ph=Decimal("0.2"),
    )
    assert hard > 10 > 1 > low


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(
    st.sampled_from(Agent),
    st.decimals(1, 400, places=0),
    st.decimals(6, "8.5", places=1),
    st.decimals("0.1", 3, places=1),
    st.decimals("0.1", 3, places=1),
)
def test_a_deeper_drop_never_means_less_acid(agent, alkalinity, feed_ph, drop, deeper):
    assume(feed_ph - drop - deeper >= 3)
    feed = {"feed_alkalinity_mg_l": alkalinity, "feed_ph": feed_ph}
    shallow = residual_mg_l(agent, **feed, sample_ph=feed_ph - drop)
    assert 0 <= shallow <= residual_mg_l(agent, **feed, sample_ph=feed_ph - drop - deeper)


@pytest.mark.parametrize(
    "bad", [{"kind": "SHAKEN"}, {"strength_percent": "0"}, {"target_mg_l": "0"}, {"boiler_volume_l": "0"}]
)
def test_a_rinse_that_makes_no_sense_is_refused(bad):
    asked = {"strength_percent": "2", "target_mg_l": "10", "boiler_volume_l": "1", "kind": "PLUG"} | bad
    kind = asked.pop("kind")
    with pytest.raises(ValueError, match=r"\.$"):
        rinse_volume_l(kind=kind, **{name: Decimal(value) for name, value in asked.items()})


@pytest.mark.parametrize("share", ["0", "1", "1.2"])
def test_nothing_drains_dry(share):
    with pytest.raises(ValueError, match="drained share"):
        fills_needed(strength_percent=TWO_PERCENT, drained_fraction=Decimal(share))


@pytest.mark.parametrize(
    "bad", [{"feed_alkalinity_mg_l": "0"}, {"feed_ph": "4"}, {"sample_ph": "1"}, {"sample_ph": "NaN"}]
)
def test_a_sample_that_cannot_be_is_refused(bad):
    asked = {"feed_alkalinity_mg_l": "100", "feed_ph": "7.5", "sample_ph": "7"} | bad
    with pytest.raises(ValueError, match="must"):
        residual_mg_l(CITRIC, **{name: Decimal(value) for name, value in asked.items()})
