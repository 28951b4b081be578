"""Prepared rows of Clean and descale: what is missing, what was worked out, what was done."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from workshop.bench.facts.clean import TIMES_COMPUTED, CleanFacts
from workshop.core.models import ModelNotes, Shop
from workshop.core.templatetags.measures import measure
from workshop.trade.safety.cautions import Trigger, for_trigger
from workshop.trade.water import descaling, hardness, scale
from workshop.trade.water.descaling import Advice, AdviceCode, Agent, BoilerMetal
from workshop.trade.water.hardness import HardnessUnit

BREW_TEMP_C = Decimal(93)  # workshop/trade/water: the brew path, espresso water leaves at 90 to 96 degrees

_ADVICE: dict[AdviceCode, str] = {
    AdviceCode.NEVER_HYDROCHLORIC: "Never hydrochloric acid: it eats the metal.",
    AdviceCode.NEVER_WITH_CHLORINE: "Never with bleach or a chlorine cleaner: the gas is poison.",
    AdviceCode.LEAVE_VENTED: "Leave a tap open: gas comes off the scale.",
    AdviceCode.USUAL_PERCENT: "Usual strength {low} to {high} %.",
    AdviceCode.USUAL_MINUTES: "Usually {low} to {high} minutes.",
    AdviceCode.USUAL_TEMP_C: "Works best at {low} to {high} °C.",
    AdviceCode.MAX_PERCENT: "No stronger than {high} % in this metal.",
    AdviceCode.MAX_MINUTES: "No longer than {high} minutes in this metal.",
    AdviceCode.MAX_TEMP_C: "Keep it under {high} °C.",
    AdviceCode.SHORT_CONTACT: "Short contact; use a bath once and pour it away.",
    AdviceCode.NEVER_SOAK_PLATING: "Never soak worn plating: the acid creeps under it.",
    AdviceCode.FLUSH_FOR_LEAD: "Flush afterwards: fresh brass gives off lead.",
    AdviceCode.HARD_ON_NBR_AND_FKM: "Hard on nitrile and fluor rubber.",
    AdviceCode.ASK_WHICH_METAL: "Boiler metal not known: aluminium's limits hold until it is.",
}


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """What the app computed for one fill, as lines of label and words."""

    lines: list[tuple[str, str]]
    advice: list[str]


def worked_out(values: dict[str, Any], notes: ModelNotes, shop: Shop) -> WorkedOut:
    """Work out grams, capacity and scale for a fill and a water. :raises ValueError: with a sentence."""
    agent = Agent(values["agent"])
    dose = descaling.dose(agent, strength_percent=values["strength_percent"], volume_l=values["volume_l"])
    lines = [
        ("Weigh out", f"{measure(round(dose.acid_g, 1), 'g')} of {agent.label}"),
        ("It takes up", f"about {measure(round(dose.capacity_g, 1), 'g')} of scale a fill"),
    ]
    if dose.replace_at_g is not None:
        lines.append(
            ("Fresh solution after", f"{measure(round(dose.replace_at_g, 1), 'g')} of scale: then citrate drops out")
        )
    if values.get("hardness") is not None:
        lines += _water_lines(values["hardness"], HardnessUnit(values["hardness_unit"]), shop)
    metal = BoilerMetal(notes.boiler_metal) if notes.boiler_metal else BoilerMetal.UNKNOWN
    return WorkedOut(lines, [words(each) for each in descaling.strength_advice(agent, metal) if each.code in _ADVICE])


def _water_lines(value: Decimal, unit: HardnessUnit, shop: Shop) -> list[tuple[str, str]]:
    mmol_l = hardness.to_mmol_l(value, unit)
    caco3 = hardness.as_caco3_mg_l(mmol_l)
    alkalinity = shop.alkalinity_mg_l if shop.alkalinity_mg_l is not None else caco3
    left = scale.scale_mg_per_l(caco3, alkalinity, BREW_TEMP_C)
    others = ", ".join(f"{round(hardness.from_mmol_l(mmol_l, u), 1)} {u.label}" for u in HardnessUnit if u is not unit)
    return [
        ("Water", f"{hardness.hardness_class(mmol_l).value.capitalize()}, {round(caco3)} mg/L as calcium carbonate"),
        ("The same in", others),
        ("Scale from each litre at 93 °C", measure(round(left), "mg")),
    ]


def words(advice: Advice) -> str:
    """Say one piece of advice as a sentence."""
    return _ADVICE[advice.code].format(low=_plain(advice.low), high=_plain(advice.high))


def _plain(value: Decimal | None) -> str:
    return "" if value is None else measure(value)


def cautions() -> list[dict[str, str]]:
    """Return the cautions of working with acid and of the flush afterwards."""
    found = (*for_trigger(Trigger.DESCALE_ADDED), *for_trigger(Trigger.DESCALE_NOT_FLUSHED))
    return [
        {"word": c.signal_word.value.capitalize(), "hazard": c.hazard, "words": f"{c.effect} {c.avoid}"} for c in found
    ]


def rinse_rows(facts: CleanFacts) -> list[dict[str, str]]:
    """Return, for each path, the litres wanted and the litres run."""
    rows = []
    for path in facts.paths:
        wanted = facts.wanted_l(path)
        done = facts.rinsed_l.get(path.path.value, Decimal(0))
        met = wanted is not None and done >= wanted
        rows.append(
            {
                "path": path.path.label,
                "wanted": f"{wanted:.1f} L" if wanted is not None else "boiler's litres not known",
                "why": f"{TIMES_COMPUTED} times the computed litres",
                "done": f"{measure(done, 'L')}" if done else "nothing yet",
                "glyph": "full" if met else "open",
            }
        )
    return rows


def done_rows(facts: CleanFacts) -> list[dict[str, object]]:
    """Return what was cleaned or left."""
    rows: list[dict[str, object]] = []
    for what in facts.wanted:
        line = facts.lines.get(what.value)
        if line is not None:
            glyph = "na" if line.because else "full"
            words = f"{what.label}: {line.because or 'cleaned'}"
            rows.append({"glyph": glyph, "words": words, "by": str(line.by), "pk": line.pk})
    return rows
