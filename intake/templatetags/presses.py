"""`{% press_key %}`: the hidden key of a form that is only a button, so that a double press is one record."""

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from workshop.core.forms import new_key

register = template.Library()


@register.simple_tag
def press_key() -> SafeString:
    """Return a hidden field with a fresh form key (it has no id: many stand on one page)."""
    return format_html('<input type="hidden" name="key" value="{}">', new_key())
