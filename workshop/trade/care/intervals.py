"""Which tasks a buyer's machine needs, how often, and why: one interval each."""

from dataclasses import dataclass
from decimal import Decimal

from workshop.trade.care.rules import BOILERS, DESCALE, KINDS, RULES, TASK_CODES, CareInputs, CareRule, Pace
from workshop.trade.care.sources import (
    BREW_TEMP_C,
    LITRES_PER_DRINK,
    MAKER,
    SCALE,
    STEAM_LITRES_PER_MILK_DRINK,
    STEAM_TEMP_C,
)
from workshop.trade.care.spans import neat_days, span
from workshop.trade.sources import Source
from workshop.trade.water.scale import descale_interval

__all__ = ["BOILERS", "DESCALE", "KINDS", "TASK_CODES", "CareInputs", "CareTask", "litres_per_day", "tasks"]

# Weekly or oftener is habit, not an entry in a calendar.
_HABIT_UP_TO_DAYS = 7
_ALWAYS_STEAM = frozenset({"HEAT_EXCHANGER", "DUAL_BOILER", "LEVER"})


@dataclass(frozen=True, slots=True)
class CareTask:
    """One task with its one interval. `every_days` None means after use; `in_calendar` means a dated entry."""

    code: str
    words: str
    every_days: int | None
    why: str
    in_calendar: bool
    source: Source


def litres_per_day(inputs: CareInputs) -> Decimal:
    """Water drawn in a day, in litres, by the house figures (V-05, V-08)."""
    steam = inputs.milk_drinks_per_day * STEAM_LITRES_PER_MILK_DRINK.value
    return inputs.drinks_per_day * LITRES_PER_DRINK.value + steam


def tasks(inputs: CareInputs) -> tuple[CareTask, ...]:
    """The tasks of this machine, oftenest first. A maker's interval replaces ours, with its reason.

    An override for a task that the machine does not have is left out: no valve, no backflush.
    """
    found = [_from_rule(rule, inputs) for rule in RULES if rule.applies(inputs)]
    if inputs.makes_coffee:
        found.append(_descale(inputs))
    return tuple(sorted((_by_maker(task, inputs) for task in found), key=lambda task: task.every_days or 0))


def _task(code: str, words: str, days: int | None, why: str, source: Source) -> CareTask:
    return CareTask(code, words, days, why, days is not None and days > _HABIT_UP_TO_DAYS, source)


def _from_rule(rule: CareRule, inputs: CareInputs) -> CareTask:
    days = rule.every_days(inputs)
    neat = None if days is None else neat_days(days)
    why = rule.why
    if rule.pace is Pace.DRINKS:
        why = f"{why} Reckoned for {_drinks(inputs)}."
    return _task(rule.code, rule.words, neat, why, rule.source)


def _drinks(inputs: CareInputs) -> str:
    number = f"{inputs.drinks_per_day.normalize():f}"
    return f"{number} drink a day" if number == "1" else f"{number} drinks a day"


def _by_maker(task: CareTask, inputs: CareInputs) -> CareTask:
    days = inputs.maker_overrides.get(task.code)
    if days is None:
        return task
    return _task(task.code, task.words, days, f"The maker's manual says {span(days).then_words}.", MAKER)


def _hottest_c(inputs: CareInputs) -> Decimal:
    # A boiler that always stands at steam heat scales as such, milk or not.
    steams = inputs.steams or inputs.kind in _ALWAYS_STEAM
    return (STEAM_TEMP_C if steams else BREW_TEMP_C).value


def _descale(inputs: CareInputs) -> CareTask:
    hardness = inputs.hardness_mg_l
    # Alkalinity not known: taken as high as the hardness, the worst it can do.
    alkalinity = hardness if inputs.alkalinity_mg_l is None else inputs.alkalinity_mg_l
    interval = descale_interval(
        hardness_mg_l=hardness,
        alkalinity_mg_l=alkalinity,
        temp_c=_hottest_c(inputs),
        litres_per_day=litres_per_day(inputs),
    )
    shown = f"{hardness.normalize():f} mg/L"
    if interval.capped:
        why = f"Water of {shown} leaves little scale: this is the longest we would wait."
    else:
        why = f"Water of {shown} and {_drinks(inputs)}: about {interval.litres:f} L until scale counts."
    if interval.days <= _HABIT_UP_TO_DAYS:
        why = f"{why} That is too often: use softer water."
    words = "Descale with a food acid made for it, then flush every path and pour that water away."
    return _task(DESCALE, words, neat_days(interval.days), why, SCALE)
