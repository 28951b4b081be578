"""Forms of care reminders: the consent, and presses without boxes."""

from django import forms

from handover.consents import NewConsent
from handover.words_after import ConsentHow
from workshop.core.forms import ActForm, DayField


class ConsentForm(ActForm):
    """What the buyer agreed to."""

    email = forms.EmailField(
        label="Their e-mail address", max_length=254, widget=forms.EmailInput(attrs={"autocomplete": "off"})
    )
    given_on = DayField(label="Agreed on")
    how = forms.ChoiceField(label="How they agreed", choices=ConsentHow.choices)

    @property
    def new(self) -> NewConsent:
        """Return what the service wants."""
        values = self.values
        return NewConsent(values["email"], values["given_on"], ConsentHow(values["how"]))
