"""The one form a buyer sees: three questions."""

from django import forms
from django.utils.translation import gettext_lazy as _

from handover.words import Trouble
from workshop.core.forms import ActForm


class TroubleForm(ActForm):
    """Something is wrong: what, since when, what was seen and tried."""

    trouble = forms.ChoiceField(label=_("1. What happens?"), choices=Trouble.choices, widget=forms.RadioSelect)
    since = forms.CharField(
        label=_("2. Since when?"), max_length=120, help_text=_("Like: Tuesday, or when I filled the tank.")
    )
    words = forms.CharField(
        label=_("3. What do you see, and what have you tried?"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=_("In your own words. Please no names or addresses."),
    )
