"""The care calendar of this buyer: from their drinks, their water and the kind of machine."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from handover.models import Reservation
from handover.retold import retold
from handover.sheet import NBSP, CareRow, join, say_short
from handover.words import BuyerWater
from workshop.core.models import ModelNotes, Shop
from workshop.trade.care import calendar
from workshop.trade.care.intervals import DESCALE, CareInputs, CareTask, tasks
from workshop.trade.care.spans import span
from workshop.trade.water.hardness import HardnessUnit, as_caco3_mg_l, from_mmol_l, strip_range
from workshop.trade.water.sources import SCALES_FROM_MG_L, SOFT_TO_MG_L

USUAL_DRINKS, USUAL_MILK = Decimal(4), Decimal(1)  # house policy, until a buyer says otherwise
SOFT_MG_L = SOFT_TO_MG_L.value  # the upper end of soft: the prudent side
HARD_MG_L = SCALES_FROM_MG_L.value


# The paper's short words for each task of workshop.trade.care; the screen shows the long ones with their reasons.
SHORT = {
    "PLAIN_BACKFLUSH": gettext_noop("Flush with the blind basket, water only (backflush)"),
    "DETERGENT_BACKFLUSH": gettext_noop("Flush with the blind basket and detergent, then rinse"),
    "SOAK_SCREEN": gettext_noop("Soak basket and shower screen in detergent"),
    "BOILER_WATER": gettext_noop("Renew the boiler's water through group and tap"),
    "CHANGE_FILTER": gettext_noop("Change the water filter"),
    "CHANGE_GASKET": gettext_noop("Change the group seal, sooner if it drips"),
    "BRUSH_GRINDER": gettext_noop("Unplug, brush out the grinder, no water"),
}


@dataclass(frozen=True, slots=True)
class CarePlan:
    """The care of one buyer's machine: what stands in a calendar, from which day it counts, and the habits."""

    rows: tuple[CareRow, ...]
    start: date | None
    habits: tuple[CareRow, ...]
    note: str = ""  # what the acid can do, where a descale stands among the tasks


def hardness_mg_l(reservation: Reservation | None, shop: Shop) -> tuple[Decimal, str]:
    """Return the hardness the calendar is worked out for, and where it comes from in words."""
    ours = None
    if shop.hardness_mmol_l is not None:
        ours = Decimal(round(from_mmol_l(shop.hardness_mmol_l, HardnessUnit.MG_L_CACO3)))
    hard = max(HARD_MG_L, ours or HARD_MG_L)
    known = _known(reservation, ours, hard) if reservation is not None else None
    return known or (hard, _("reckoned as hard, water not known"))


def _known(reservation: Reservation, ours: Decimal | None, hard: Decimal) -> tuple[Decimal, str] | None:
    """Return what the buyer's answer says of their water; nothing where it says too little."""
    answer = reservation.water
    if answer == BuyerWater.MEASURED and reservation.hardness_mg_l is not None:
        return reservation.hardness_mg_l, _("your water, measured")
    if answer == BuyerWater.STRIP and reservation.strip_fields is not None:
        return by_strip(reservation.strip_fields, hard), _("your water, by strip")
    if answer == BuyerWater.SAME and ours is not None:
        return ours, _("the same water as ours")
    reckoned = {
        BuyerWater.SOFT.value: (SOFT_MG_L, _("reckoned for soft water")),
        BuyerWater.HARD.value: (hard, _("reckoned for hard water")),
    }
    return reckoned.get(answer)


def by_strip(fields: int, hard: Decimal) -> Decimal:
    """Return the hard end of what a strip of 1 to 4 coloured fields says, in mg/L; `hard` or more where it is open."""
    seen = strip_range(fields)
    end = as_caco3_mg_l(seen.low_mmol_l if seen.high_mmol_l is None else seen.high_mmol_l)
    return Decimal(round(end if seen.high_mmol_l is not None else max(end, hard)))


def inputs(notes: ModelNotes, reservation: Reservation | None, shop: Shop) -> CareInputs:
    """Return what the care rules want to know."""
    hardness, _whose = hardness_mg_l(reservation, shop)
    drinks = reservation.drinks_per_day if reservation else USUAL_DRINKS
    milk = reservation.milk_drinks_per_day if reservation else USUAL_MILK
    return CareInputs(
        drinks_per_day=max(drinks, Decimal("0.1")),
        milk_drinks_per_day=min(milk, max(drinks, Decimal("0.1"))) if notes.has_steam else Decimal(0),
        hardness_mg_l=hardness,
        alkalinity_mg_l=_alkalinity_mg_l(reservation, shop),
        kind=notes.kind,
        has_three_way_valve=notes.has_three_way_valve,
        has_grinder=notes.has_grinder,
        has_filter=notes.has_filter,
        maker_overrides=notes.care_overrides,
    )


def _alkalinity_mg_l(reservation: Reservation | None, shop: Shop) -> Decimal | None:
    """Return what was measured of our own water, for a buyer with the same; else the rules take the worst."""
    same = reservation is not None and reservation.water == BuyerWater.SAME
    return shop.alkalinity_mg_l if same and shop.hardness_mmol_l is not None else None


def plan(notes: ModelNotes, reservation: Reservation | None, shop: Shop, on: date) -> CarePlan:
    """Return the care of this machine, dated where a collection day is agreed.

    A sheet issued later (`on`), when it came back, names the next date of the same calendar and begins no new one.
    """
    start: date | None = reservation.collect_on if reservation else None
    known = tasks(inputs(notes, reservation, shop))
    hardness, whose = hardness_mg_l(reservation, shop)
    said = {"hardness": join(hardness, "mg/L"), "whose": whose}
    short = {code: _(words) for code, words in SHORT.items()} | {DESCALE: _("Descale: %(hardness)s, %(whose)s") % said}
    days = {task.code: task.every_days for task in known}
    rows = tuple(
        CareRow(
            short.get(task.code) or retold(task.words),
            _first(task, days[task.code], start, on),
            retold(task.then_words).replace(" ", NBSP),
            task.code,
            days[task.code],
            retold(task.why),
        )
        for task in calendar.dated(known, start)
    )
    habits = tuple(_habit(task) for task in calendar.after_use(known))
    return CarePlan(rows, start, habits, _acid() if DESCALE in days else "")


def _acid() -> str:
    """The caution that belongs inside the task (workshop/trade/safety/cautions.py: acid, bleach, lead)."""
    return _("Descaler is an acid: shield eyes and hands. Flush twice afterwards, drink none of it.")


def _first(task: calendar.DatedTask, every_days: int | None, start: date | None, on: date) -> str:
    if task.first_on is None or start is None or every_days is None:
        return retold(task.first_words)
    return say_short(max(task.first_on, calendar.next_on(every_days, start, on)))


def _habit(task: CareTask) -> CareRow:
    then = span(task.every_days).then_words if task.every_days else "after use"
    words, why = retold(task.words), retold(task.why)
    return CareRow(words, "", retold(then).replace(" ", NBSP), task.code, task.every_days, why)
