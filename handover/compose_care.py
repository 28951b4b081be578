"""The care calendar of this buyer: from their drinks, their water and the kind of machine."""

from datetime import date
from decimal import Decimal

from handover.models import Reservation
from handover.sheet import NBSP, CareRow, join, say_short
from handover.words import BuyerWater
from workshop.core.models import ModelNotes, Shop
from workshop.trade.care import calendar
from workshop.trade.care.intervals import DESCALE, CareInputs, tasks
from workshop.trade.water.hardness import HardnessUnit, from_mmol_l
from workshop.trade.water.sources import SCALES_FROM_MG_L, SOFT_TO_MG_L

USUAL_DRINKS, USUAL_MILK = Decimal(4), Decimal(1)  # house policy, until a buyer says otherwise
SOFT_MG_L = SOFT_TO_MG_L.value  # the upper end of soft: the prudent side
HARD_MG_L = SCALES_FROM_MG_L.value


# The paper's short words for each task of workshop.trade.care; the screen shows the long ones with their reasons.
SHORT = {
    "PLAIN_BACKFLUSH": "Flush with the blind basket, water only (backflush)",
    "DETERGENT_BACKFLUSH": "Flush with the blind basket and detergent, then rinse",
    "SOAK_SCREEN": "Soak basket and shower screen in detergent",
    "BOILER_WATER": "Renew the boiler's water through group and tap",
    "CHANGE_FILTER": "Change the water filter",
    "CHANGE_GASKET": "Change the group seal, sooner if it drips",
    "BRUSH_GRINDER": "Unplug, brush out the grinder, no water",
}


def hardness_mg_l(reservation: Reservation | None, shop: Shop) -> tuple[Decimal, str]:
    """Return the hardness the calendar is worked out for, and where it comes from in words."""
    ours = None
    if shop.hardness_mmol_l is not None:
        ours = Decimal(round(from_mmol_l(shop.hardness_mmol_l, HardnessUnit.MG_L_CACO3)))
    if reservation is not None:
        if reservation.water == BuyerWater.MEASURED and reservation.hardness_mg_l is not None:
            return reservation.hardness_mg_l, "your water, measured"
        if reservation.water == BuyerWater.SOFT:
            return SOFT_MG_L, "reckoned for soft water"
        if reservation.water == BuyerWater.SAME and ours is not None:
            return ours, "the same water as ours"
        if reservation.water == BuyerWater.HARD:
            return max(HARD_MG_L, ours or HARD_MG_L), "reckoned for hard water"
    return max(HARD_MG_L, ours or HARD_MG_L), "reckoned as hard, water not known"


def inputs(notes: ModelNotes, reservation: Reservation | None, shop: Shop) -> CareInputs:
    """Return what the care rules want to know."""
    hardness, _ = hardness_mg_l(reservation, shop)
    drinks = reservation.drinks_per_day if reservation else USUAL_DRINKS
    milk = reservation.milk_drinks_per_day if reservation else USUAL_MILK
    return CareInputs(
        drinks_per_day=max(drinks, Decimal("0.1")),
        milk_drinks_per_day=min(milk, max(drinks, Decimal("0.1"))) if notes.has_steam else Decimal(0),
        hardness_mg_l=hardness,
        alkalinity_mg_l=None,
        kind=notes.kind,
        has_three_way_valve=notes.has_three_way_valve,
        has_grinder=notes.has_grinder,
        has_filter=notes.has_filter,
        maker_overrides=notes.care_overrides,
    )


def rows(notes: ModelNotes, reservation: Reservation | None, shop: Shop) -> tuple[CareRow, ...]:
    """Return the care rows, dated where a collection day is agreed."""
    start: date | None = reservation.collect_on if reservation else None
    known = tasks(inputs(notes, reservation, shop))
    hardness, whose = hardness_mg_l(reservation, shop)
    found = []
    for task in calendar.dated(known, start):
        words = SHORT.get(task.code, task.words)
        if task.code == DESCALE:
            words = f"Descale: {join(hardness, 'mg/L')}, {whose}"
        first = say_short(task.first_on) if task.first_on else task.first_words
        found.append(CareRow(words, first, task.then_words.replace(" ", NBSP)))
    return tuple(found)
