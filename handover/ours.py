"""Our words of the blocks that a workshop may word itself, in the language that is active."""

from django.utils.translation import gettext as _

from handover.sheet import join
from workshop.trade.coffee.sources import MILK_STOP_C, PURGE_S


def call() -> str:
    """Return what stands over the phone number."""
    return _("Stuck? Call us first")


def first() -> str:
    """Return the first words of the buyer's page."""
    return _("Here is what your paper says of this machine, your care dates, and help when something is wrong.")


def milk(tap: str) -> tuple[str, ...]:
    """Return how milk is made; `tap` is what the machine calls its steam tap."""
    return (
        _("%(tap)s: %(time)s into a cloth") % {"tap": tap, "time": join(PURGE_S.value, "s")},
        _("Tip just under the milk"),
        _("Stop at %(heat)s: the jug is too hot to hold") % {"heat": join(MILK_STOP_C.value, "°C")},
        _("Wipe. Open again, %(time)s") % {"time": join(PURGE_S.value, "s")},
    )


def after_use() -> tuple[str, ...]:
    """Return what is done after each use, on every machine."""
    return (_("Knock out, rinse basket"), _("Empty the tray"), _("Leave the handle loose"))


def steam_tap() -> str:
    """Return what a steam tap is called whose own label is not known."""
    return _("Steam tap")
