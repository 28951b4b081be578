"""The one door to the electrical rules: what other rooms import."""

from workshop.trade.safety.appliance import (
    Appliance,
    ApplianceClass,
    Limit,
    Measure,
    MissingFact,
    plain_number,
)
from workshop.trade.safety.judging import (
    Judgement,
    Sign,
    State,
    Verdict,
    insulation_volts,
    judge,
    needed_measures,
    needs_leakage,
    resistive_leakage_ma,
    verdict,
)
from workshop.trade.safety.power import WattsBand, fuse_rating_a, pump_watts_band, rated_watts_band
from workshop.trade.safety.profiles import PROFILES, Profile, profile_for

__all__ = [
    "PROFILES",
    "Appliance",
    "ApplianceClass",
    "Judgement",
    "Limit",
    "Measure",
    "MissingFact",
    "Profile",
    "Sign",
    "State",
    "Verdict",
    "WattsBand",
    "fuse_rating_a",
    "insulation_volts",
    "judge",
    "needed_measures",
    "needs_leakage",
    "plain_number",
    "profile_for",
    "pump_watts_band",
    "rated_watts_band",
    "resistive_leakage_ma",
    "verdict",
]
