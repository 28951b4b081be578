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
from workshop.trade.safety.own import Combined, OwnLimit, combine, loosens, says_why
from workshop.trade.safety.power import WattsBand, fuse_rating_a, pump_watts_band, rated_watts_band
from workshop.trade.safety.profiles import EVERY_VERSION, PROFILES, Profile, newest, profile_for, version_of
from workshop.trade.safety.rules import Rule

__all__ = [
    "EVERY_VERSION",
    "PROFILES",
    "Appliance",
    "ApplianceClass",
    "Combined",
    "Judgement",
    "Limit",
    "Measure",
    "MissingFact",
    "OwnLimit",
    "Profile",
    "Rule",
    "Sign",
    "State",
    "Verdict",
    "WattsBand",
    "combine",
    "fuse_rating_a",
    "insulation_volts",
    "judge",
    "loosens",
    "needed_measures",
    "needs_leakage",
    "newest",
    "plain_number",
    "profile_for",
    "pump_watts_band",
    "rated_watts_band",
    "resistive_leakage_ma",
    "says_why",
    "verdict",
    "version_of",
]
