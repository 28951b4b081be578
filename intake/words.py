"""The words of intake: what a photo is for, which walk, what was found and how it ended, where on a face."""

from django.db import models

STATION_CODE = "INTAKE"  # as sign-offs are kept


class PhotoFor(models.TextChoices):
    """What a photo shows."""

    ARRIVAL = "ARRIVAL", "How it arrived"
    MARK = "MARK", "A mark"
    PLATE = "PLATE", "The maker's plate"
    SOLD = "SOLD", "As it is sold"
    SELLER = "SELLER", "What the seller sent"
    BOX = "BOX", "The box it travels in"
    OTHER = "OTHER", "Something else"


class SellerTax(models.TextChoices):
    """What the seller is to the tax office."""

    UNKNOWN = "UNKNOWN", "Not asked"
    PRIVATE = "PRIVATE", "A private person"
    REGISTERED = "REGISTERED", "A business registered for tax"


class IdKind(models.TextChoices):
    """What a seller can show to say who they are."""

    LICENCE = "LICENCE", "Driving licence"
    PASSPORT = "PASSPORT", "Passport"
    ID_CARD = "ID_CARD", "Identity card"
    KNOWN = "KNOWN", "Known to us in person"
    OTHER = "OTHER", "Another paper"


class WalkKind(models.TextChoices):
    """Which time round it is."""

    ARRIVAL = "ARRIVAL", "On arrival"
    SOLD = "SOLD", "Second look, before the sale"
    SECOND = "SECOND", "Blind, by a second person"


class RecallFound(models.TextChoices):
    """What the registers say of this model."""

    NOTHING = "NOTHING", "It is not listed"
    RECALLED = "RECALLED", "It is recalled"


class FindingEnd(models.TextChoices):
    """How a finding ends; what is left is told to the buyer."""

    OPEN = "OPEN", "Open"
    MENDED = "MENDED", "Mended"
    NOT_SEEN_AGAIN = "NOT_SEEN_AGAIN", "Not seen again"
    LEFT = "LEFT", "Left as it is"


class AsFoundItem(models.TextChoices):
    """What is tried or looked at when a machine is first on the bench."""

    VERMIN = "vermin", "Vermin or mould"
    SMELLS = "smells", "Smell"
    LEAKS_COLD = "leaks-cold", "Leak when cold"
    BUTTONS = "buttons", "Buttons, knobs and levers"
    GAUGE_REST = "gauge-rest", "Gauge at rest"
    POWERS = "powers", "Powers up"
    HEATS = "heats", "Heats"
    PUMP = "pump", "Pump"
    LEAKS_HOT = "leaks-hot", "Leak when hot"
    STEAM = "steam", "Steam"
    HOT_WATER = "hot-water", "Hot water"
    GAUGE = "gauge", "Gauge at work"
    GRINDER = "grinder", "Grinder"


class AsFoundAnswer(models.TextChoices):
    """What was found of it."""

    WORKS = "WORKS", "Works"
    FAULT = "FAULT", "Does not work"
    CANNOT_TELL = "CANNOT_TELL", "Cannot tell yet"


class NothingOf(models.TextChoices):
    """Questions that "nothing" answers."""

    SAID = "SAID", "The seller said nothing about it"
    FOUND = "FOUND", "Nothing wrong was found"
    LOOSE = "LOOSE", "No loose part came with it"


class WallKind(models.TextChoices):
    """How many walls a basket has; two walls leave one small exit."""

    ONE = "ONE", "One wall"
    TWO = "TWO", "Two walls"


class Zone(models.TextChoices):
    """The nine zones of a face as one looks at the drawing; `intake.zones` puts them into words for each face."""

    HIGH_LEFT = "high-left", "high left"
    HIGH_MIDDLE = "high-middle", "high"
    HIGH_RIGHT = "high-right", "high right"
    MIDDLE_LEFT = "middle-left", "left"
    MIDDLE = "middle", "middle"
    MIDDLE_RIGHT = "middle-right", "right"
    LOW_LEFT = "low-left", "low left"
    LOW_MIDDLE = "low-middle", "low"
    LOW_RIGHT = "low-right", "low right"
