"""Acid doses against balanced equations with molmass masses, and the advice by metal."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from molmass import Formula

from workshop.trade.water.acids import ACIDS
from workshop.trade.water.descaling import AdviceCode, Agent, BoilerMetal, dose, strength_advice

ONE = Decimal(1)
FORMULAS = {
    Agent.CITRIC_ANHYDROUS: "C6H8O7",
    Agent.CITRIC_MONOHYDRATE: "C6H8O7.H2O",
    Agent.LACTIC: "C3H6O3",
    Agent.SULFAMIC: "H3NSO3",
    Agent.ACETIC: "C2H4O2",
    Agent.TARTARIC: "C4H6O6",
    Agent.PHOSPHORIC: "H3PO4",
    Agent.FORMIC: "CH2O2",
}


@pytest.mark.parametrize("agent", Agent)
def test_molar_masses_agree_with_molmass(agent):
    formula = FORMULAS[agent].replace(".H2O", "")
    water = Formula("H2O").mass if FORMULAS[agent] != formula else 0
    assert float(ACIDS[agent].molar_mass_g) == pytest.approx(Formula(formula).mass + water, abs=0.002)


# Balanced by chempy 0.10.2 with molmass masses: grams of acid for a gram of calcium carbonate.
@pytest.mark.parametrize(
    ("agent", "balanced"),
    [
        (Agent.CITRIC_ANHYDROUS, "1.2797"),
        (Agent.CITRIC_MONOHYDRATE, "1.3997"),
        (Agent.LACTIC, "1.8000"),
        (Agent.SULFAMIC, "1.9402"),
        (Agent.ACETIC, "1.2000"),
        (Agent.TARTARIC, "1.4996"),
        (Agent.PHOSPHORIC, "1.9582"),
        (Agent.FORMIC, "0.9197"),
    ],
)
def test_grams_of_acid_for_a_gram_of_scale(agent, balanced):
    assert ACIDS[agent].g_per_g_caco3 == pytest.approx(Decimal(balanced), abs=Decimal("0.0001"))


# The same run: grams of scale a litre at 1 % takes by its equation.
@pytest.mark.parametrize(
    ("agent", "nominal_g"),
    [
        (Agent.CITRIC_ANHYDROUS, "7.81"),
        (Agent.CITRIC_MONOHYDRATE, "7.14"),
        (Agent.LACTIC, "5.56"),
        (Agent.SULFAMIC, "5.15"),
        (Agent.ACETIC, "8.33"),
        (Agent.TARTARIC, "6.67"),
        (Agent.PHOSPHORIC, "5.11"),
        (Agent.FORMIC, "10.87"),
    ],
)
def test_a_litre_at_one_per_cent(agent, nominal_g):
    weighed = dose(agent, strength_percent=ONE, volume_l=ONE)
    assert weighed.acid_g == 10
    assert weighed.nominal_g == Decimal(nominal_g)


def test_lactic_acid_of_eighty_per_cent_is_weighed_heavier():
    weighed = dose(Agent.LACTIC, strength_percent=Decimal(2), volume_l=Decimal("1.5"), purity=Decimal("0.8"))
    assert weighed.acid_g == Decimal("37.5")  # 30 g of acid
    assert weighed.capacity_g == weighed.nominal_g == Decimal("16.67")
    assert weighed.replace_at_g is None


def test_two_per_cent_citric_is_renewed_at_about_five_grams():
    """PHREEQC (minteq.v4): citrate saturates at 5.5 g per litre; a third of nominal is 5.2."""
    weighed = dose(Agent.CITRIC_ANHYDROUS, strength_percent=Decimal(2), volume_l=ONE)
    assert weighed.replace_at_g == weighed.capacity_g == Decimal("5.21")
    assert weighed.nominal_g == Decimal("15.63")


@pytest.mark.parametrize(("percent", "limit_g"), [("3", "7.60"), ("5", "10.70"), ("8", "15.60"), ("12", "15.60")])
def test_strong_citric_is_held_by_its_citrate_not_by_its_acid(percent, limit_g):
    weighed = dose(Agent.CITRIC_ANHYDROUS, strength_percent=Decimal(percent), volume_l=ONE)
    assert weighed.replace_at_g == Decimal(limit_g)


@settings(deadline=None)  # a busy machine is no fault of the sum
@given(
    st.sampled_from(Agent),
    st.decimals("0.1", 19, places=1),
    st.decimals("0.1", 1, places=1),
    st.decimals("0.1", 10, places=1),
)
def test_stronger_never_takes_less_and_never_more_than_its_equation(agent, percent, stronger, volume_l):
    weak = dose(agent, strength_percent=percent, volume_l=volume_l)
    strong = dose(agent, strength_percent=percent + stronger, volume_l=volume_l)
    assert weak.acid_g < strong.acid_g
    assert weak.capacity_g <= strong.capacity_g <= strong.nominal_g


@pytest.mark.parametrize(
    "bad",
    [
        {"strength_percent": "0"},
        {"strength_percent": "20.1"},
        {"strength_percent": "NaN"},
        {"volume_l": "0"},
        {"volume_l": "-1"},
        {"purity": "0"},
        {"purity": "1.01"},
    ],
)
def test_a_dose_that_makes_no_sense_is_refused_in_a_sentence(bad):
    asked = {"strength_percent": "2", "volume_l": "1", "purity": "1"} | bad
    with pytest.raises(ValueError, match=r"^The .*\.$"):
        dose(Agent.LACTIC, **{name: Decimal(value) for name, value in asked.items()})


def advice(agent, metal):
    return {item.code: (item.low, item.high) for item in strength_advice(agent, metal)}


def test_citric_on_aluminium_is_weak_and_short():
    assert advice(Agent.CITRIC_ANHYDROUS, BoilerMetal.ALUMINIUM) == {
        AdviceCode.NEVER_HYDROCHLORIC: (None, None),
        AdviceCode.NEVER_WITH_CHLORINE: (None, None),
        AdviceCode.LEAVE_VENTED: (None, None),
        AdviceCode.MAX_PERCENT: (None, 2),
        AdviceCode.MAX_MINUTES: (None, 20),
        AdviceCode.FLUSH_FOR_LEAD: (None, None),
        AdviceCode.USUAL_TEMP_C: (40, 60),
    }


def test_citric_on_brass_is_as_usual():  # Insanely Long Water FAQ 4.2: 2.25 to 3.5 per cent
    usual = advice(Agent.CITRIC_ANHYDROUS, BoilerMetal.BRASS)
    assert usual[AdviceCode.USUAL_PERCENT] == (Decimal("2.25"), Decimal("3.5"))
    assert usual[AdviceCode.USUAL_MINUTES] == (20, 45)
    assert AdviceCode.SHORT_CONTACT in usual


def test_sulfamic_acid_stays_under_sixty_degrees():
    assert advice(Agent.SULFAMIC, BoilerMetal.STAINLESS)[AdviceCode.MAX_TEMP_C] == (None, 60)


def test_an_unknown_metal_is_treated_as_aluminium_and_asked_for():
    unknown = advice(Agent.LACTIC, BoilerMetal.UNKNOWN)
    assert unknown[AdviceCode.MAX_PERCENT] == (None, 2)
    assert AdviceCode.ASK_WHICH_METAL in unknown


@pytest.mark.parametrize("metal", BoilerMetal)
@pytest.mark.parametrize("agent", Agent)
def test_hydrochloric_acid_is_warned_of_first_and_no_code_comes_twice(agent, metal):
    codes = [item.code for item in strength_advice(agent, metal)]
    assert codes[0] is AdviceCode.NEVER_HYDROCHLORIC
    assert sorted(codes) == sorted(set(codes))
    assert AdviceCode.FLUSH_FOR_LEAD in codes


@pytest.mark.parametrize("agent", Agent)
def test_every_acid_has_a_plain_label(agent):
    assert agent.label == ACIDS[agent].label != agent.value
