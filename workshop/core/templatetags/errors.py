"""What a refused form says: how many answers it wants mended."""

from typing import Any

from django import template

register = template.Library()


@register.filter
def sentences(form: Any) -> int:
    """Return how many sentences stand in a form's error summary."""
    return sum(len(said) for said in form.errors.values())
