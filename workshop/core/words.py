"""The words the whole house shares: roles, kinds of machine, how a job ends, what a wait is for."""

from collections.abc import Iterable

from django.db import models

from workshop.trade.safety.electrical import Measure


class Role(models.TextChoices):
    """What a person may do here."""

    OWNER = "OWNER", "Owner"
    TECHNICIAN = "TECHNICIAN", "Technician"


class Kind(models.TextChoices):
    """Kinds of machine, by how they heat water."""

    SINGLE_BOILER = "SINGLE_BOILER", "Single boiler"
    HEAT_EXCHANGER = "HEAT_EXCHANGER", "Heat exchanger"
    DUAL_BOILER = "DUAL_BOILER", "Dual boiler"
    THERMOBLOCK = "THERMOBLOCK", "Thermoblock"
    LEVER = "LEVER", "Lever"
    GRINDER = "GRINDER", "Grinder alone"


class Metal(models.TextChoices):
    """What the boiler is made of: it decides which acid may go in."""

    BRASS = "BRASS", "Brass"
    COPPER = "COPPER", "Copper"
    STAINLESS = "STAINLESS", "Stainless steel"
    ALUMINIUM = "ALUMINIUM", "Aluminium"


class Pump(models.TextChoices):
    """What pushes the water."""

    VIBRATORY = "VIBRATORY", "Vibratory pump"
    ROTARY = "ROTARY", "Rotary pump"
    NONE = "NONE", "No pump"


class JobKind(models.TextChoices):
    """Why a machine passes through the workshop."""

    REFURBISH = "REFURBISH", "Bought and refurbished"
    CAME_BACK = "CAME_BACK", "Came back"


class ReturnCause(models.TextChoices):
    """Why a machine came back."""

    FAULT = "FAULT", "A fault"
    CHANGED_MIND = "CHANGED_MIND", "Changed their mind"
    CARRIAGE = "CARRIAGE", "Hurt on the way"
    RECALL = "RECALL", "A recall"


class ClosedAs(models.TextChoices):
    """How a job ends."""

    SOLD_PROVED = "SOLD_PROVED", "Sold, proved"
    SOLD_UNTESTED = "SOLD_UNTESTED", "Sold untested or faulty"
    STRIPPED = "STRIPPED", "Stripped for parts"
    SCRAPPED = "SCRAPPED", "Scrapped"
    GIVEN_BACK = "GIVEN_BACK", "Given back"
    KEPT = "KEPT", "Kept"


class WaitFor(models.TextChoices):
    """What a machine can wait for."""

    PART = "PART", "a part"
    PERSON = "PERSON", "a person"
    MONEY = "MONEY", "money"
    DECISION = "DECISION", "a decision"


class Area(models.TextChoices):
    """Which room of the journal an entry belongs to; it decides who may read it."""

    BENCH = "BENCH", "Bench"
    MONEY = "MONEY", "Money"
    PERSON = "PERSON", "People"
    SHOP = "SHOP", "Our workshop"


class FoundIn(models.TextChoices):
    """Where Find found a word."""

    NAME = "NAME", "name"
    SERIAL = "SERIAL", "serial"
    MODEL = "MODEL", "maker and model"
    PLACE = "PLACE", "place"
    SELLER = "SELLER", "seller"
    BUYER = "BUYER", "buyer"
    SAID = "SAID", "what the seller said"
    COMPLAINT = "COMPLAINT", "why it came back"
    FINDING = "FINDING", "findings"
    MARK = "MARK", "marks"
    WAIT = "WAIT", "waits"
    WORK = "WORK", "work"
    WROTE = "WROTE", "what the buyer wrote"


class Paper(models.TextChoices):
    """Sheet sizes."""

    A4 = "A4", "A4"
    LETTER = "LETTER", "Letter"


class InstrumentKind(models.TextChoices):
    """Instruments a workshop may own; those it does not own are not asked for."""

    EARTH = "EARTH", "Earth continuity meter"
    INSULATION = "INSULATION", "Insulation tester"
    LEAKAGE = "LEAKAGE", "Leakage current meter"
    WATT = "WATT", "Plug-in watt meter"
    GAUGE = "GAUGE", "Group pressure gauge"
    THERMOMETER = "THERMOMETER", "Group thermometer"
    SCALE = "SCALE", "Scale to 0.1 g"
    TIMER = "TIMER", "Timer"
    PH = "PH", "pH meter or strips"
    REFRACTOMETER = "REFRACTOMETER", "Coffee refractometer"
    CALIPER = "CALIPER", "Caliper"


class ControlUse(models.TextChoices):
    """What a knob, lever or button of a machine is for."""

    POWER = "POWER", "Power"
    COFFEE = "COFFEE", "Coffee"
    HOT_WATER = "HOT_WATER", "Hot water"
    STEAM = "STEAM", "Steam"
    GRIND = "GRIND", "Grind setting"
    DOSE = "DOSE", "Dose"


PASS_FAIL_UNITS = {
    InstrumentKind.EARTH: Measure.EARTH_OHM.unit,
    InstrumentKind.INSULATION: Measure.INSULATION_MOHM.unit,
    InstrumentKind.LEAKAGE: Measure.LEAKAGE_MA.unit,
}


class Warmth(models.TextChoices):
    """How warm a machine was when it was measured."""

    COLD = "COLD", "cold"
    HOT = "HOT", "hot"


class Outcome(models.TextChoices):
    """What a reading says against its limit."""

    PASS = "PASS", "within the limit"
    FAIL = "FAIL", "outside the limit"
    RECORDED = "RECORDED", "recorded, no limit"
    NOT_POSSIBLE = "NOT_POSSIBLE", "not possible"


class CareWord(models.TextChoices):
    """The care tasks by their short names, as a maker's own intervals are typed in the model notes."""

    DESCALE = "DESCALE", "Descale"
    CHANGE_FILTER = "CHANGE_FILTER", "Change the filter"
    CHANGE_GASKET = "CHANGE_GASKET", "Change the group seal"
    SOAK_SCREEN = "SOAK_SCREEN", "Soak the screen"
    DETERGENT_BACKFLUSH = "DETERGENT_BACKFLUSH", "Backflush with detergent"
    PLAIN_BACKFLUSH = "PLAIN_BACKFLUSH", "Backflush with water"
    BOILER_WATER = "BOILER_WATER", "Renew the boiler's water"
    BRUSH_GRINDER = "BRUSH_GRINDER", "Brush out the grinder"
    RINSE_HANDLE = "RINSE_HANDLE", "Rinse the handle"
    FLUSH_GROUP = "FLUSH_GROUP", "Flush the group"
    WIPE_WAND = "WIPE_WAND", "Wipe the wand"
    STOOD_A_WEEK = "STOOD_A_WEEK", "Stood a week"


def full_stop(words: str) -> str:
    """End a sentence once: what people typed may bring its own full stop."""
    return words if words.endswith((".", "!", "?")) else f"{words}."


def small(words: str) -> str:
    """Return a title as it stands inside a sentence: its first letter small."""
    return f"{words[:1].lower()}{words[1:]}"


def listed(words: Iterable[str]) -> str:
    """Return words as a sentence lists them: "1, 2 and 3"; nothing for none."""
    *most, last = [*words] or [""]
    return f"{', '.join(most)} and {last}" if most else last
