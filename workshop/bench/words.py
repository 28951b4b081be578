"""Words of the bench."""

from django.db import models


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
