"""Forms of coming back: what is asked on the phone, and the cause."""

from typing import Any

from django import forms

from handover.return_steps import PHONE
from handover.returns import NewReturn
from workshop.core.forms import ActForm, AskingForm
from workshop.core.words import ReturnCause


class ReturnOpenForm(AskingForm):
    """What the buyer said. Every question but the complaint may stay open."""

    complaint = forms.CharField(
        label="What is wrong, in the buyer's words",
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Type what the buyer says is wrong."},
    )
    place = forms.CharField(label="Where it stands now", max_length=40, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, label, help_text in PHONE:
            self.add(name, forms.CharField(label=label, max_length=200, required=False, help_text=help_text))
        self.asks_for(*(name for name, _, _ in PHONE))
        self.order_fields(["key", "complaint", *(name for name, _, _ in PHONE), "place", "sure"])

    @property
    def new(self) -> NewReturn:
        """Return what the service wants."""
        values = self.values
        asked = tuple((label, values[name]) for name, label, _ in PHONE)
        return NewReturn(values["complaint"], asked, values["place"], values["sure"])


class CauseForm(ActForm):
    """Why it came back. `seen`: what the page said when it was opened."""

    cause = forms.ChoiceField(label="The cause", choices=ReturnCause.choices, widget=forms.RadioSelect)
    cause_words = forms.CharField(
        label="In a sentence", max_length=200, required=False, help_text="Like: the new group seal was a size too thin."
    )
    seen = forms.CharField(required=False, max_length=24, widget=forms.HiddenInput)
