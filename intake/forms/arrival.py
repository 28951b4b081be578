"""What came with it and what does not work."""

from django import forms

from intake.words import NothingOf
from workshop.core.forms import ActForm, VersionedForm


class FindingForm(VersionedForm):
    """Something that does not work."""

    words = forms.CharField(
        label="What does not work",
        max_length=200,
        help_text="One thing each, like: drips from the group.",
        error_messages={"required": "Type what does not work."},
    )


class LoosePartForm(VersionedForm):
    """A loose part, counted."""

    words = forms.CharField(label="What is it", max_length=80, error_messages={"required": "Type what the part is."})
    counted = forms.IntegerField(
        label="How many",
        min_value=0,
        max_value=99,
        help_text="Nought: it should be there and is not.",
        error_messages={"required": "Type how many there are.", "invalid": "Type a whole number, like 2."},
    )


class NothingForm(ActForm):
    """A question answered with "nothing"."""

    what = forms.ChoiceField(choices=NothingOf.choices)
