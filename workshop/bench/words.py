"""Words of the bench."""

from django.db import models


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
