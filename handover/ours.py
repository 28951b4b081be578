"""Our words of the blocks that a workshop may word itself and that no machine changes, in the active language."""

from django.utils.translation import gettext as _


def call() -> str:
    """Return what stands over the phone number."""
    return _("Stuck? Call us first")


def first() -> str:
    """Return the first words of the buyer's page."""
    return _("Here is what your paper says of this machine, your care dates, and help when something is wrong.")
