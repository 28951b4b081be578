"""`{% machine_frame %}`: puts head, rail, strip and next step of the page's `job` into the context."""

from typing import Any

from django import template

from workshop.desk import frame as frames

register = template.Library()


@register.simple_tag(takes_context=True)
def machine_frame(context: template.Context) -> str:
    """Fill the frame's names into the template's context, from its `job`."""
    job: Any = context["job"]
    found: frames.Frame = context.get("frame") or frames.frame(job)  # a desk's page has read it already
    values = {
        "head": found.head,
        "rail": found.rail,
        "strip": found.strip,
        "next": found.next,
        "rail_here": found.here,
    }
    for name, value in values.items():
        # Also in the outermost layer: the thumb bar stands in another block and shows the same next step.
        context[name] = context.dicts[0][name] = value
    return ""
