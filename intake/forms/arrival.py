"""What came with it and what does not work."""

from django import forms

from intake.words import NothingOf, WallKind
from workshop.core.forms import ActForm, MeasureField, VersionedForm


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
    basket_mm = MeasureField(
        label="Basket width",
        unit="mm",
        required=False,
        min_value=40,
        max_value=70,
        max_digits=4,
        decimal_places=1,
        help_text="Of a basket, across the inside of its rim.",
        error_messages={
            "min_value": "A basket is 40 to 70 mm wide. Measure across the inside of its rim.",
            "max_value": "A basket is 40 to 70 mm wide. Measure across the inside of its rim.",
        },
    )
    walls = forms.ChoiceField(
        label="Basket walls", required=False, choices=[("", "No basket, or not sure"), *WallKind.choices]
    )


class NothingForm(ActForm):
    """A question answered with "nothing"."""

    what = forms.ChoiceField(choices=NothingOf.choices)
