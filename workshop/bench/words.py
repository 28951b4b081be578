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
