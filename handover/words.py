"""Words of handing over."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class ToldBy(models.TextChoices):
    """How the buyer was told, before agreeing, what is not as new."""

    SCREEN = "SCREEN", "Shown on the screen"
    PAPER = "PAPER", "Shown on paper"
    MESSAGE = "MESSAGE", "Sent in a message"
    SPOKEN = "SPOKEN", "Said aloud, machine in sight"
    LINK = "LINK", "Read at the address we sent"


class BuyerWater(models.TextChoices):
    """What is known of the buyer's water: it decides the descale date."""

    SAME = "SAME", "Same tap water as ours"
    SOFT = "SOFT", "Soft: no scale in their kettle"
    HARD = "HARD", "Hard: scale in their kettle"
    STRIP = "STRIP", "Read with a test strip"
    MEASURED = "MEASURED", "Measured or read from their supplier"
    UNKNOWN = "UNKNOWN", "Not known: taken as hard"


class BuyerHas(models.TextChoices):
    """What stands in the buyer's kitchen: the sheet speaks to it."""

    YES = "YES", "Yes"
    NO = "NO", "No"
    UNKNOWN = "UNKNOWN", "Not asked yet"


class CoffeeKind(models.TextChoices):
    """What the buyer's coffee is like: whole and fresh, or ground by somebody else."""

    FRESH = "FRESH", "Fresh, they grind it or have it ground"
    READY_GROUND = "READY_GROUND", "Ready-ground, from a packet"
    UNKNOWN = "UNKNOWN", "Not asked yet"


class Language(models.TextChoices):
    """What the buyer reads; every paper for the buyer, their page and their calendar speak it."""

    EN = "en", "English"
    DE = "de", "German (Deutsch)"
    FR = "fr", "French (français)"
    IT = "it", "Italian (italiano)"
    ES = "es", "Spanish (español)"


class SoldHow(models.TextChoices):
    """How the buyer agreed: many places give a right to cancel what was agreed at a distance."""

    PERSON = "PERSON", "In person, at our workshop"
    DISTANCE = "DISTANCE", "At a distance: by phone, message or web, or at their door"


class GoesBy(models.TextChoices):
    """How the machine gets to the buyer."""

    COLLECTED = "COLLECTED", "They collect it"
    DELIVERED = "DELIVERED", "We bring it"
    CARRIER = "CARRIER", "A carrier brings it"


class DistanceFact(models.TextChoices):
    """What is noted of a sale at a distance, each with its day."""

    PAPER = "PAPER", "They have the cancellation paper"
    ARRIVED = "ARRIVED", "It arrived"
    CANCELLED = "CANCELLED", "They said that they cancel"


class Trouble(models.TextChoices):
    """What a buyer says is wrong. The first three are a danger: unplug and call at once."""

    WATER = "WATER", _("Water where it should not be")
    BURNING = "BURNING", _("It smells of burning, or smokes")
    SHOCK = "SHOCK", _("I felt a shock")
    DEAD = "DEAD", _("It does not start, or does not heat")
    NOTHING = "NOTHING", _("Nothing comes out, or only a little")
    TASTE = "TASTE", _("It runs too fast, or tastes wrong")
    NOISE = "NOISE", _("A new noise")
    OTHER = "OTHER", _("Something else")


DANGERS = frozenset({Trouble.WATER.value, Trouble.BURNING.value, Trouble.SHOCK.value})
