"""How much acid to weigh out, how much scale it will take, and what each metal allows.

Acid burns skin and eyes: goggles, gloves, air; follow the product's own sheet and the machine's manual. The
advice leaves here as codes and values; sentences are made above.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.sources import COMMON_PRACTICE, FROM_MEMORY, Figure, Source
from workshop.trade.water.acids import ACIDS, Agent
from workshop.trade.water.limits import must_be_positive, must_lie_between
from workshop.trade.water.sources import (
    ALUMINIUM_MAX_MIN,
    ALUMINIUM_MAX_PERCENT,
    BFR_LEAD,
    CITRATE_G_PER_L,
    CITRATE_SHARE,
    CONTACT_HIGH_MIN,
    CONTACT_LOW_MIN,
    FOOD_ACID_HIGH_PERCENT,
    FOOD_ACID_LOW_PERCENT,
    MOLAR_MASSES,
    STRONGEST_PERCENT,
    SULFAMIC_DISCARD_PERCENT,
    SULFAMIC_MAX_C,
    TARTRATE_SHARE,
    UFC,
    WARM_HIGH_C,
    WARM_LOW_C,
)

__all__ = ["Advice", "AdviceCode", "Agent", "BoilerMetal", "DescaleDose", "dose", "strength_advice"]

_CITRIC = (Agent.CITRIC_ANHYDROUS, Agent.CITRIC_MONOHYDRATE)
_HUNDREDTH, _TENTH = Decimal("0.01"), Decimal("0.1")


class BoilerMetal(StrEnum):
    """What the acid will touch."""

    BRASS = "BRASS"
    COPPER = "COPPER"
    STAINLESS = "STAINLESS"
    ALUMINIUM = "ALUMINIUM"
    PLATED_BRASS = "PLATED_BRASS"
    UNKNOWN = "UNKNOWN"


class AdviceCode(StrEnum):
    """What to heed; the page above turns each into a sentence."""

    NEVER_HYDROCHLORIC = "NEVER_HYDROCHLORIC"
    NEVER_WITH_CHLORINE = "NEVER_WITH_CHLORINE"
    LEAVE_VENTED = "LEAVE_VENTED"  # carbon dioxide comes off: never close the boiler
    USUAL_PERCENT = "USUAL_PERCENT"
    USUAL_MINUTES = "USUAL_MINUTES"
    USUAL_TEMP_C = "USUAL_TEMP_C"
    MAX_PERCENT = "MAX_PERCENT"
    MAX_MINUTES = "MAX_MINUTES"
    MAX_TEMP_C = "MAX_TEMP_C"
    PLANT_DISCARD_PERCENT = "PLANT_DISCARD_PERCENT"  # at plant strengths: renew the bath below this
    SHORT_CONTACT = "SHORT_CONTACT"  # zinc and copper dissolve; do not use the bath again
    NEVER_SOAK_PLATING = "NEVER_SOAK_PLATING"
    FLUSH_FOR_LEAD = "FLUSH_FOR_LEAD"
    HARD_ON_NBR_AND_FKM = "HARD_ON_NBR_AND_FKM"
    ASK_WHICH_METAL = "ASK_WHICH_METAL"  # until known, aluminium's limits hold


@dataclass(frozen=True, slots=True)
class Advice:
    """One thing to heed, with its figures where it has any, and the source."""

    code: AdviceCode
    source: Source
    low: Decimal | None = None
    high: Decimal | None = None


@dataclass(frozen=True, slots=True)
class DescaleDose:
    """What to weigh out and what to expect of it.

    `acid_g` grams of the product as bought; `capacity_g` grams of scale (as calcium carbonate) one fill may be
    counted on for; `replace_at_g` the grams dissolved at which to renew the fill before the salt drops out, or
    None where it stays dissolved; `nominal_g` what the acid could dissolve by its equation alone.
    """

    acid_g: Decimal
    capacity_g: Decimal
    replace_at_g: Decimal | None
    nominal_g: Decimal


def dose(agent: Agent, *, strength_percent: Decimal, volume_l: Decimal, purity: Decimal = Decimal(1)) -> DescaleDose:
    """Grams of product for `volume_l` litres at `strength_percent` (1 % is 10 g of the acid per litre).

    `purity` is the acid's mass share in the product (lactic 80 % is 0.8). Sources W-01, W-05, W-06.
    ValueError, in a sentence, for a strength of nought or over 20 %, no volume, or a purity outside 0 to 1.
    """
    must_be_positive(strength_percent, "strength in per cent")
    must_lie_between(strength_percent, Decimal(0), STRONGEST_PERCENT.value, "strength in per cent")
    must_be_positive(volume_l, "volume in litres")
    must_be_positive(purity, "purity as a share")
    must_lie_between(purity, Decimal(0), Decimal(1), "purity as a share")
    pure_g = strength_percent * 10 * volume_l
    nominal_g = pure_g / ACIDS[agent].g_per_g_caco3
    replace_at_g = _replace_at_g(agent, strength_percent, volume_l, nominal_g)
    return DescaleDose(
        acid_g=(pure_g / purity).quantize(_TENTH),
        capacity_g=(nominal_g if replace_at_g is None else replace_at_g).quantize(_HUNDREDTH),
        replace_at_g=None if replace_at_g is None else replace_at_g.quantize(_HUNDREDTH),
        nominal_g=nominal_g.quantize(_HUNDREDTH),
    )


def _replace_at_g(agent: Agent, percent: Decimal, volume_l: Decimal, nominal_g: Decimal) -> Decimal | None:
    if agent is Agent.TARTARIC:
        return nominal_g * TARTRATE_SHARE.value
    if agent not in _CITRIC:
        return None
    # Both readings of the limit are rough; the lower one holds.
    return min(nominal_g * CITRATE_SHARE.value, _citrate_limit_g_per_l(percent) * volume_l)


def _citrate_limit_g_per_l(percent: Decimal) -> Decimal:
    """Scale dissolved when calcium citrate saturates, between the computed points; flat above the last."""
    lower_percent, lower_g = Decimal(0), Decimal(0)
    for point in CITRATE_G_PER_L:
        if percent <= point.percent:
            share = (percent - lower_percent) / (point.percent - lower_percent)
            return lower_g + share * (point.scale_g_per_l - lower_g)
        lower_percent, lower_g = point.percent, point.scale_g_per_l
    return lower_g


def strength_advice(agent: Agent, boiler_metal: BoilerMetal) -> tuple[Advice, ...]:
    """What to heed with this acid on this metal, as codes with figures, gravest first."""
    metal = _METAL_ADVICE[boiler_metal]
    # The metal's own limit stands alone: "usual 3.5 %" beside "at most 2 %" would be read wrong.
    overruled = {_OVERRULES.get(item.code) for item in metal}
    usual = tuple(item for item in _agent_advice(agent) if item.code not in overruled)
    return (*_ALWAYS, *metal, *usual)


def _between(code: AdviceCode, low: Figure, high: Figure) -> Advice:
    return Advice(code, low.source, low.value, high.value)


def _at_most(code: AdviceCode, figure: Figure) -> Advice:
    return Advice(code, figure.source, high=figure.value)


def _agent_advice(agent: Agent) -> tuple[Advice, ...]:
    if agent in (*_CITRIC, Agent.TARTARIC):
        return (
            _between(AdviceCode.USUAL_PERCENT, FOOD_ACID_LOW_PERCENT, FOOD_ACID_HIGH_PERCENT),
            _between(AdviceCode.USUAL_MINUTES, CONTACT_LOW_MIN, CONTACT_HIGH_MIN),
            _between(AdviceCode.USUAL_TEMP_C, WARM_LOW_C, WARM_HIGH_C),
        )
    if agent is Agent.SULFAMIC:
        discard = SULFAMIC_DISCARD_PERCENT
        return (
            _at_most(AdviceCode.MAX_TEMP_C, SULFAMIC_MAX_C),
            Advice(AdviceCode.PLANT_DISCARD_PERCENT, discard.source, low=discard.value),
        )
    if agent is Agent.ACETIC:
        return (Advice(AdviceCode.HARD_ON_NBR_AND_FKM, FROM_MEMORY),)
    return ()


_OVERRULES = {
    AdviceCode.MAX_PERCENT: AdviceCode.USUAL_PERCENT,
    AdviceCode.MAX_MINUTES: AdviceCode.USUAL_MINUTES,
}
_ALWAYS = (
    Advice(AdviceCode.NEVER_HYDROCHLORIC, UFC),
    Advice(AdviceCode.NEVER_WITH_CHLORINE, FROM_MEMORY),
    Advice(AdviceCode.LEAVE_VENTED, MOLAR_MASSES),
)
_LEAD = Advice(AdviceCode.FLUSH_FOR_LEAD, BFR_LEAD)
_SHORT = Advice(AdviceCode.SHORT_CONTACT, COMMON_PRACTICE)
_ALUMINIUM = (
    _at_most(AdviceCode.MAX_PERCENT, ALUMINIUM_MAX_PERCENT),
    _at_most(AdviceCode.MAX_MINUTES, ALUMINIUM_MAX_MIN),
)
# Brass fittings sit in nearly every machine, so the lead flush is asked for whatever the boiler is.
_METAL_ADVICE = {
    BoilerMetal.BRASS: (_SHORT, _LEAD),
    BoilerMetal.COPPER: (_SHORT, _LEAD),
    BoilerMetal.STAINLESS: (_LEAD,),
    BoilerMetal.ALUMINIUM: (*_ALUMINIUM, _LEAD),
    BoilerMetal.PLATED_BRASS: (Advice(AdviceCode.NEVER_SOAK_PLATING, COMMON_PRACTICE), _SHORT, _LEAD),
    BoilerMetal.UNKNOWN: (Advice(AdviceCode.ASK_WHICH_METAL, COMMON_PRACTICE), *_ALUMINIUM, _SHORT, _LEAD),
}
