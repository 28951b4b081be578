"""The form of a contact note."""

from typing import Any

from django import forms

from handover.contacts import NewNote
from handover.words_after import ContactHow, ContactWith
from workshop.core.forms import ActForm, DayField


class ContactForm(ActForm):
    """One call or message."""

    how = forms.ChoiceField(label="It was", choices=ContactHow.choices)
    with_whom = forms.ChoiceField(label="With", choices=ContactWith.choices)
    happened_on = DayField(label="On")
    asked = forms.CharField(label="What was asked, or said", max_length=1000, widget=forms.Textarea(attrs={"rows": 3}))
    answered = forms.CharField(
        label="What was answered",
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Empty where there was nothing to answer. Answered later? Keep another note.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.asks_for("answered")

    @property
    def new(self) -> NewNote:
        """Return what the service wants."""
        values = self.values
        return NewNote(
            ContactHow(values["how"]),
            ContactWith(values["with_whom"]),
            values["happened_on"],
            values["asked"],
            values["answered"],
        )
