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


AFTER_A_CHANGE = "first after a change"  # why it is left out of the advice: the old grounds are still in the way
