"""`{% usual_faults notes %}`: what machines of a model usually come with, on the page of its notes."""

from typing import Any

from django import template

from workshop.core.models import ModelNotes
from workshop.desk import faults

register = template.Library()


@register.inclusion_tag("desk/_usual_faults.html")
def usual_faults(notes: ModelNotes | None) -> dict[str, Any]:
    """Read the usual faults of saved notes; nothing for new ones."""
    return {"section": faults.usual(notes) if notes else None}
