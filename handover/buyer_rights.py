"""What stands beside the warranty and is never touched by it, in words, and how a known defect is agreed. By place."""

from django.utils.translation import gettext as _

from workshop.trade.rights.quality import defect_rule_for, quality_for


def beside_warranty(place_code: str) -> str:
    """Return the sentence printed beside the warranty, in the language that is active."""
    known = quality_for(place_code)
    figures = {
        name: int(figure.value) if figure else 0
        for name, figure in (
            ("days", known.reject_days),
            ("months", known.presumed_months),
            ("years", known.years),
            ("least", known.used_years),
        )
    }
    return _sentence(known.place) % figures


def _sentence(place: str) -> str:
    if place == "GB":
        return _(
            "Your legal rights stay as they are: good quality for its age and price; %(days)s days to reject it if "
            "faulty; a fault within %(months)s months counts as there from the start."
        )
    if place == "EU":
        return _(
            "Your legal rights stay as they are: for %(years)s years, or at least %(least)s where you agreed so, we "
            "answer for faults that were there; one within %(months)s months counts as such."
        )
    if place == "AU":
        return _(
            "Your legal rights stay as they are: the Australian Consumer Law guarantees acceptable quality for its age "
            "and price, and no warranty can take that away."
        )
    if place == "NZ":
        return _("Your legal rights stay as they are: the Consumer Guarantees Act asks for acceptable quality.")
    if place == "US":
        return _("Your legal rights stay as they are: what the law of your state implies stands beside this warranty.")
    return _("Your legal rights stay as they are.")


def agreed_separately(place_code: str) -> bool:
    """Whether the place's law wants a known defect agreed expressly, in a line of its own."""
    return defect_rule_for(place_code).separately


def defects_signature(place_code: str) -> str:
    """Return what is signed under the known defects: where the law asks for it, that they were agreed separately."""
    if agreed_separately(place_code):
        return _("Buyer: I agree to this, apart from all else")
    return _("Buyer, told and agreed")
