"""Words of the bench."""

from decimal import Decimal

from django.db import models

from workshop.core.templatetags.measures import number
from workshop.trade.safety.electrical import Measure


def say_count(count: int, thing: str) -> str:
    """Say how many of a thing: "1 path", "3 paths"."""
    return f"{count} {thing}{'' if count == 1 else 's'}"


class Cleaned(models.TextChoices):
    """What is cleaned on every machine that has it."""

    GROUP = "GROUP", "Group and shower screen"
    GRINDER = "GRINDER", "Grinder"
    TANK = "TANK", "Tank"
    WAND = "WAND", "Steam wand"
    TRAY = "TRAY", "Drip tray"
    CASE = "CASE", "Case"


class Path(models.TextChoices):
    """A way the water takes; each is rinsed."""

    BREW = "BREW", "Through the group"
    STEAM = "STEAM", "Through the steam wand"
    HOT_WATER = "HOT_WATER", "Through the hot water tap"


class SealEnd(models.TextChoices):
    """What became of a seal."""

    CHANGED = "CHANGED", "Changed"
    KEPT = "KEPT", "Kept, because"
    NOT_DISTURBED = "NOT_DISTURBED", "Not disturbed"


class ButtonKind(models.TextChoices):
    """How a button knows when to stop."""

    TIMED = "TIMED", "Timed: it stops after seconds"
    METERED = "METERED", "Metered: it counts the water"


class RunsWith(models.TextChoices):
    """What a button was run with."""

    COFFEE = "COFFEE", "Coffee"
    WATER = "WATER", "Water alone"


class WhoseGrinder(models.TextChoices):
    """Which grinder ground for the recipe."""

    BUILT_IN = "BUILT_IN", "Its own, built in"
    OURS = "OURS", "Our grinder"
    BUYERS = "BUYERS", "The buyer's grinder"


class TimedFrom(models.TextChoices):
    """From when the seconds of a shot are counted."""

    PUMP_ON = "PUMP_ON", "Pump on"
    FIRST_DRIP = "FIRST_DRIP", "First drip"


class WorkStation(models.TextChoices):
    """Where minutes and parts are spent."""

    CLEAN = "CLEAN", "Clean and descale"
    MEND = "MEND", "Mend and reseal"
    PROVE = "PROVE", "Prove"


class NotPossible(models.TextChoices):
    """Why an item was not measured. It prints on the buyer's sheet."""

    NO_PLACE = "NO_PLACE", "this model has no place to measure it"
    SEALED = "SEALED", "it would mean opening a sealed part"
    AWAY = "AWAY", "the instrument is away"
    NOT_FITTED = "NOT_FITTED", "this unit does not have the part"
    LEFT = "LEFT", "out of its limit, left as it is"
    OTHER = "OTHER", "something else"


class Flow(models.TextChoices):
    """How a shot ran out of the spouts. Our own plain words; so are the three lists below."""

    DRIPS = "DRIPS", "drips"
    STRINGS = "STRINGS", "strings"
    GUSH = "GUSH", "gush"


class Crema(models.TextChoices):
    """What stood on the cup."""

    NONE = "NONE", "no crema"
    THIN = "THIN", "thin crema"
    FULL = "FULL", "full crema"


class Spouts(models.TextChoices):
    """Whether both spouts gave the same."""

    EVEN = "EVEN", "spouts even"
    UNEVEN = "UNEVEN", "spouts uneven"


class Taste(models.TextChoices):
    """What a shot tasted of; several may be said."""

    SOUR = "SOUR", "sour"
    SHARP = "SHARP", "sharp"
    BALANCED = "BALANCED", "balanced"
    SWEET = "SWEET", "sweet"
    BITTER = "BITTER", "bitter"
    HARSH = "HARSH", "harsh"
    WATERY = "WATERY", "thin"
    HEAVY = "HEAVY", "heavy"


class Counts(models.TextChoices):
    """Whether a shot is a test of its setting."""

    YES = "YES", "It counts"
    AFTER_CHANGE = "AFTER_CHANGE", "First after a change"
    SPOILT = "SPOILT", "Spoilt"


LEFT_OUT = "left out"  # what a first shot after a change is; spoilt is one that went wrong
AFTER_A_CHANGE = "first after a change"  # why it is left out of the advice: the old grounds are still in the way


class OwnMeasure(models.TextChoices):
    """What the workshop may set its own limit on: the electrical readings, and the bands of the bench."""

    EARTH = "earth_ohm", "Earth path"
    INSULATION = "insulation_mohm", "Insulation"
    LEAKAGE = "leakage_ma", "Leakage current"
    TOUCH = "touch_ma", "Touch current"
    WATTS = "watts_heating", "Watts while heating, against the plate"
    PRESSURE = "pressure", "Pressure at the group"
    BREW_WATER = "brew_water", "Brewing water"
    DEBIT = "debit", "Water through the empty group, against its model's usual"
    READY = "ready", "Minutes to ready"
    STEAM = "steam_ready", "Seconds to first dry steam"
    BACK = "back_to_coffee", "Seconds back to coffee after steam"
    WATTS_PUMPING = "watts_pumping", "Watts when pumping, against the pump's plate"
    PRESSURE_SHOT = "pressure_shot", "Pressure in a shot"
    HOT_WATER = "hot_water", "Hot water at the tap"
    STEAM_POWER = "steam_power", "Steam power, against the boiler's watts"
    DRIP_STOP = "drip_stop", "Seconds until the group stops dripping"

    @property
    def unit(self) -> str:
        """Return the unit an own limit is typed in; a share of the plate, or of the usual, in percent."""
        return _OWN_UNITS[self]

    @property
    def electrical(self) -> Measure | None:
        """Return the electrical measure, or None for a band of the bench."""
        return Measure(self.value) if self.value in tuple(Measure) else None

    @property
    def only_end(self) -> str:
        """Return which end alone a limit of this measure has: "low" or "high"; empty where it may have both."""
        return _ONLY_ENDS.get(self, "")

    def limit_words(self, low: Decimal | None, high: Decimal | None) -> str:
        """Say a limit in this unit: "9 to 12 bar", "0.1 ohm or less"."""
        return ends_words(low, high, self.unit)


_OWN_UNITS = {
    OwnMeasure.EARTH: Measure.EARTH_OHM.unit,
    OwnMeasure.INSULATION: Measure.INSULATION_MOHM.unit,
    OwnMeasure.LEAKAGE: Measure.LEAKAGE_MA.unit,
    OwnMeasure.TOUCH: Measure.TOUCH_MA.unit,
    OwnMeasure.WATTS: "%",
    OwnMeasure.PRESSURE: "bar",
    OwnMeasure.BREW_WATER: "°C",
    OwnMeasure.DEBIT: "%",
    OwnMeasure.READY: "min",
    OwnMeasure.STEAM: "s",
    OwnMeasure.BACK: "s",
    OwnMeasure.WATTS_PUMPING: "%",
    OwnMeasure.PRESSURE_SHOT: "bar",
    OwnMeasure.HOT_WATER: "°C",
    OwnMeasure.STEAM_POWER: "%",
    OwnMeasure.DRIP_STOP: "s",
}


# Too little of these is never bad, too much of those never: a limit the wrong way round would pass what is bad.
_ONLY_ENDS = {
    OwnMeasure.EARTH: "high",
    OwnMeasure.INSULATION: "low",
    OwnMeasure.LEAKAGE: "high",
    OwnMeasure.TOUCH: "high",
    OwnMeasure.READY: "high",
    OwnMeasure.STEAM: "high",
    OwnMeasure.BACK: "high",
    OwnMeasure.HOT_WATER: "low",
    OwnMeasure.STEAM_POWER: "low",
    OwnMeasure.DRIP_STOP: "high",
}


def ends_words(low: Decimal | None, high: Decimal | None, unit: str) -> str:
    """Say a limit by its ends, both inclusive; one end or both are given."""
    if low is not None and high is not None:
        return f"{number(low)} to {number(high)} {unit}"
    return f"{number(low)} {unit} or more" if low is not None else f"{number(high)} {unit} or less"


class BasisOf(models.TextChoices):
    """What a row about the proving of one machine says."""

    LIMITS = "LIMITS", "the limits it is held against"
    FULL_SET = "FULL_SET", "the full set is asked"


class PauseStep(models.TextChoices):
    """A place kept on a card, and what was said on coming back to it."""

    PAUSED = "PAUSED", "Paused at"
    STILL_SO = "STILL_SO", "Came back, still so:"
    NOT_SO = "NOT_SO", "Came back, not so any more:"


class Missed(models.TextChoices):
    """What should have caught the reason why a machine came back."""

    CHECK = "CHECK", "One of our checks"
    NO_CHECK = "NO_CHECK", "No check we have"
    NOT_A_FAULT = "NOT_A_FAULT", "None: it is not a fault"
