"""The safety messages of one machine: signal words by harm, in fixed order. Texts our own, house policy.

Reviewed with workshop/trade/safety/cautions.py. Each is printed twice: here, and inside the step where it matters.
"""

from django.utils.translation import gettext as _

from handover.sheet import SafetyMessage, Signal, join
from workshop.core.models import ModelNotes
from workshop.core.words import Kind, Pump
from workshop.trade.coffee.sources import RELEASE_WAIT_S
from workshop.trade.safety.cautions import TWO_PEOPLE_KG


def messages(notes: ModelNotes) -> tuple[SafetyMessage, ...]:
    """Return the three to five messages at the top of the sheet."""
    if notes.kind == Kind.GRINDER:
        return (_mains(), _burrs(), *_heavy(notes))
    return (_mains(), _pressure(), _hot(notes), *_heavy(notes), _dry(notes))


def _mains() -> SafetyMessage:
    return SafetyMessage(
        Signal.WARNING, _("Electric shock can kill."), _("Unplug before you clean. Never open the case.")
    )


def _burrs() -> SafetyMessage:
    avoid = _("Keep fingers out of the hopper. Unplug before you reach in.")
    return SafetyMessage(Signal.CAUTION, _("Burrs cut."), avoid)


def _pressure() -> SafetyMessage:
    avoid = _("Never turn the filter handle while coffee runs. Wait %(wait)s after it stops.")
    wait = {"wait": join(RELEASE_WAIT_S.value, _("seconds"))}
    return SafetyMessage(Signal.WARNING, _("Hot water under pressure burns."), avoid % wait)


def _hot(notes: ModelNotes) -> SafetyMessage:
    if notes.has_steam:
        avoid = _("Keep hands and children away from both.")
        return SafetyMessage(Signal.CAUTION, _("Steam and hot metal burn."), avoid)
    return SafetyMessage(Signal.CAUTION, _("Hot metal burns."), _("Keep hands and children away."))


def _heavy(notes: ModelNotes) -> tuple[SafetyMessage, ...]:
    """From the weight that wants two people; a lighter one stands under what not to do."""
    if notes.mass_kg is None or notes.mass_kg < TWO_PEOPLE_KG.value:
        return ()
    hazard = _("It weighs %(mass)s.") % {"mass": join(notes.mass_kg, "kg")}
    return (SafetyMessage(Signal.WARNING, hazard, _("Empty the tank. Lift it with two people.")),)


def _dry(notes: ModelNotes) -> SafetyMessage:
    if notes.pump == Pump.NONE:
        return SafetyMessage(Signal.NOTICE, _("The heater can burn out."), _("Never heat it empty."))
    return SafetyMessage(Signal.NOTICE, _("The pump can burn out."), _("Never run it with the tank empty."))
