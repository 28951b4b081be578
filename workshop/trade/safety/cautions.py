"""Cautions for the bench and the screen: kind of hazard, what happens, how to avoid it.

The sentences are English and keyed by `code`, so that a translation can replace them. They are the usual
cautions of the trade, not a licence: local law and licensed people come first wherever mains is touched.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.safety import sources
from workshop.trade.sources import Figure, Source


class SignalWord(StrEnum):
    """How bad it can get; NOTICE is for things, not for people."""

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOTICE = "NOTICE"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution in its fixed order."""

    code: str
    signal_word: SignalWord
    hazard: str
    effect: str
    avoid: str
    source: Source


class Trigger(StrEnum):
    """What happened in the workshop that calls for a caution."""

    WORK_OPENED = "work_opened"
    BOILER_CHOSEN = "boiler_chosen"
    DESCALE_ADDED = "descale_added"
    DESCALE_NOT_FLUSHED = "descale_not_flushed"
    STORED_WET = "stored_wet"
    EARTH_NOT_PROVED = "earth_not_proved"
    INSULATION_AT_250_V = "insulation_at_250_v"
    RECALL_NOT_CHECKED = "recall_not_checked"
    HOLD_RUNNING = "hold_running"
    HEAVY = "heavy"
    TWO_PEOPLE = "two_people"
    SOLD_UNTESTED = "sold_untested"
    FOOD_CONTACT_CHANGED = "food_contact_changed"
    SENT_BY_CARRIER = "sent_by_carrier"


class Block(StrEnum):
    """What the caution holds back until it is answered."""

    ACKNOWLEDGE = "acknowledge"
    READY = "ready"
    RUN_TEST = "run_test"
    PROFILE = "profile"
    LISTING = "listing"
    WORK_AND_SALE = "work_and_sale"
    SALE = "sale"
    NOTHING = "nothing"


STORED_DAYS = Figure(Decimal("7"), "days", sources.STAGNANT)
HEAVY_KG = Figure(Decimal("16"), "kg", sources.LIFTING)
TWO_PEOPLE_KG = Figure(Decimal("25"), "kg", sources.LIFTING)
LEAD_LIMIT = Figure(Decimal("10"), "µg/kg", sources.LEAD)

MAINS = Caution(
    "mains",
    SignalWord.DANGER,
    "Mains voltage inside the case.",
    "A shock can kill, even when the switch is off.",
    "Pull the plug and keep it in sight. Wait for the electronics to discharge, then prove it dead. "
    "Follow the law of your place: where mains work needs a licence, leave it to a licensed person.",
    sources.SAFE_WORK,
)
NOT_EARTHED = Caution(
    "not_earthed",
    SignalWord.DANGER,
    "The earth path is not proved.",
    "A fault can make the whole case live and kill whoever touches it.",
    "Do not plug it in. Mend and measure the earth path first. "
    "Where the law asks for a licensed person, let one do it.",
    sources.SAFE_WORK,
)
LEAKAGE_NEEDED = Caution(
    "leakage_needed",
    SignalWord.WARNING,
    "Insulation was read at 250 V only.",
    "A weak part can hide at the lower voltage and give a shock later.",
    "Add a leakage reading before you call it passed. "
    "It is taken with mains on: local law may ask for a licensed person.",
    sources.SURGE_PARTS,
)
PRESSURE = Caution(
    "pressure",
    SignalWord.WARNING,
    "Pressure in boiler, pump and pipes.",
    "A loosened fitting can fly off and spray boiling water.",
    "Let it cool below 100 °C. Open the steam valve until the gauge reads 0. "
    "At the first pressure after work, close the panels and hold a cloth over the joint.",
    sources.SAFE_WORK,
)
STEAM = Caution(
    "steam",
    SignalWord.WARNING,
    "Steam and hot water: a boiler at 1.0 bar is at 120 °C, at 1.5 bar at 128 °C.",
    "Water at 60 °C burns an adult in about 3 seconds, a child faster.",
    "Keep hands and face away from wand, tap and group. Point the wand into the tray before you open it.",
    sources.BURN_DEGREES,
)
ACID = Caution(
    "acid",
    SignalWord.WARNING,
    "Descaler is an acid.",
    "It can hurt eyes and skin. Its dust stings in the throat.",
    "Read the safety data sheet of your descaler. Wear goggles and gloves. Open a window.",
    sources.ACID_LABELS,
)
NO_BLEACH = Caution(
    "no_bleach",
    SignalWord.WARNING,
    "Acid and bleach together.",
    "They give off chlorine gas, which can harm the lungs badly.",
    "Never use descaler with bleach or a chlorine cleaner, and rinse well between the two.",
    sources.BLEACH,
)
LEAD = Caution(
    "lead",
    SignalWord.WARNING,
    "Lead from brass after descaling.",
    "The first water after descaling can carry far more lead than drinking water may.",
    "Pour it away. Flush every path, then flush again, and log both. Drink nothing from it before.",
    sources.LEAD,
)
STAGNANT = Caution(
    "stagnant",
    SignalWord.WARNING,
    "Water stood in the machine for 7 days or more.",
    "Germs grow in lukewarm water and spread with the mist of steam and spray.",
    "Empty the tank. Flush with fresh water, heat above 60 °C, and flush again before anyone drinks.",
    sources.STAGNANT,
)
LIFT = Caution(
    "lift",
    SignalWord.CAUTION,
    "A heavy machine: 16 kg or more.",
    "Lifting it badly can hurt your back or feet.",
    "Empty tank and boiler. Lift close to the body, or ask for help.",
    sources.LIFTING,
)
LIFT_TWO = Caution(
    "lift_two",
    SignalWord.WARNING,
    "A very heavy machine: 25 kg or more.",
    "One person alone can be hurt by it.",
    "Lift it with two people, or use a trolley.",
    sources.LIFTING,
)
RECALL = Caution(
    "recall",
    SignalWord.WARNING,
    "This model may have been recalled.",
    "A recalled machine can be dangerous, and selling it can be against the law.",
    "Look it up in the recall registers of your place. Keep the date, the answer and the link.",
    sources.RECALLS,
)
HOLD = Caution(
    "hold",
    SignalWord.NOTICE,
    "The law's waiting time is still running.",
    "Opening, changing or selling the machine now may be an offence.",
    "Look, photograph, price and order parts. Begin when the date has come.",
    sources.HOLD_VIC,
)
UNTESTED = Caution(
    "untested",
    SignalWord.WARNING,
    "This machine is sold untested or faulty.",
    "A buyer who does not know can be hurt by it.",
    "Fix the label that the law of your place asks for. Tell the buyer in writing before the sale.",
    sources.UNTESTED_SALE,
)
FOOD_CONTACT = Caution(
    "food_contact",
    SignalWord.NOTICE,
    "A seal or grease that touches the coffee's water was changed.",
    "The wrong material can get into the drink.",
    "Use food grade only. Write down the grade and who supplied it.",
    sources.FOOD_CONTACT,
)
DRAIN = Caution(
    "drain",
    SignalWord.WARNING,
    "Hot water, steam and mains while it is drained.",
    "A boiler that is still warm sprays; live parts can kill.",
    "Unplug it and let it go cold first. Open the steam tap: nothing may hiss. "
    "Where the case must come off for it, follow the law of your place.",
    sources.SAFE_WORK,
)
FROST = Caution(
    "frost",
    SignalWord.NOTICE,
    "Water left in boilers, pump or tank.",
    "It freezes on the way, swells and bursts them.",
    "Drain boilers and tank until nothing runs, and dry the tray.",
    sources.FROST,
)

CAUTIONS: dict[str, Caution] = {
    caution.code: caution
    for caution in (
        MAINS, NOT_EARTHED, LEAKAGE_NEEDED, PRESSURE, STEAM, ACID, NO_BLEACH, LEAD, STAGNANT, LIFT, LIFT_TWO,
        RECALL, HOLD, UNTESTED, FOOD_CONTACT, DRAIN, FROST,
    )
}  # fmt: skip

_RULES: dict[Trigger, tuple[tuple[Caution, ...], Block]] = {
    Trigger.WORK_OPENED: ((MAINS, PRESSURE, STEAM), Block.ACKNOWLEDGE),
    Trigger.BOILER_CHOSEN: ((PRESSURE, STEAM), Block.ACKNOWLEDGE),
    Trigger.DESCALE_ADDED: ((ACID, NO_BLEACH), Block.ACKNOWLEDGE),
    Trigger.DESCALE_NOT_FLUSHED: ((LEAD,), Block.READY),
    Trigger.STORED_WET: ((STAGNANT,), Block.NOTHING),
    Trigger.EARTH_NOT_PROVED: ((NOT_EARTHED,), Block.RUN_TEST),
    Trigger.INSULATION_AT_250_V: ((LEAKAGE_NEEDED,), Block.PROFILE),
    Trigger.RECALL_NOT_CHECKED: ((RECALL,), Block.LISTING),
    Trigger.HOLD_RUNNING: ((HOLD,), Block.WORK_AND_SALE),
    Trigger.HEAVY: ((LIFT,), Block.NOTHING),
    Trigger.TWO_PEOPLE: ((LIFT_TWO,), Block.NOTHING),
    Trigger.SOLD_UNTESTED: ((UNTESTED,), Block.SALE),
    Trigger.FOOD_CONTACT_CHANGED: ((FOOD_CONTACT,), Block.NOTHING),
    Trigger.SENT_BY_CARRIER: ((DRAIN, FROST), Block.ACKNOWLEDGE),
}


def for_trigger(trigger: Trigger) -> tuple[Caution, ...]:
    """The cautions to show, worst first."""
    return _RULES[trigger][0]


def blocks(trigger: Trigger) -> Block:
    """What stays closed until the caution is answered."""
    return _RULES[trigger][1]


def lifting_trigger(mass_kg: Decimal) -> Trigger | None:
    """Which lifting caution a mass calls for, if any."""
    if mass_kg >= TWO_PEOPLE_KG.value:
        return Trigger.TWO_PEOPLE
    return Trigger.HEAVY if mass_kg >= HEAVY_KG.value else None


def stored_wet_trigger(days_with_water: int) -> Trigger | None:
    """Whether water stood long enough to warn."""
    return Trigger.STORED_WET if days_with_water >= STORED_DAYS.value else None


def needs_another_flush(lead_ug_per_kg: Decimal) -> bool:
    """Whether a measured lead reading after descaling asks for one more flush (S-25)."""
    return lead_ug_per_kg > LEAD_LIMIT.value
