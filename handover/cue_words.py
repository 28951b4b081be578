"""The cue cards by name: what is shown to the buyer, in order, and what a film of it may show."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Cue(models.TextChoices):
    """One thing to show, in the order it is shown. The labels are the workshop's; SHOWN says them to the buyer."""

    FILL = "FILL", "Fill and switch on"
    WARM = "WARM", "Warm up and rinse"
    GRIND = "GRIND", "Grind"
    LOCK = "LOCK", "Tamp and lock in"
    POUR = "POUR", "Pour"
    MILK = "MILK", "Steam milk"
    BACK = "BACK", "Back to coffee"
    AFTER = "AFTER", "After each use"
    NEVER = "NEVER", "Never do this"
    CARE = "CARE", "The first care date"


SHOWN = {
    Cue.FILL.value: _("filling it and switching it on"),
    Cue.WARM.value: _("warming up and rinsing"),
    Cue.GRIND.value: _("grinding"),
    Cue.LOCK.value: _("tamping and locking in"),
    Cue.POUR.value: _("pouring a coffee"),
    Cue.MILK.value: _("steaming milk"),
    Cue.BACK.value: _("going back to coffee"),
    Cue.AFTER.value: _("what to do after each use"),
    Cue.NEVER.value: _("what never to do"),
    Cue.CARE.value: _("the first care date"),
}
