"""Forms of the drawer."""

from django import forms

from workshop.core.forms import ActForm, MoneyField


class PartForm(ActForm):
    """A new part."""

    name = forms.CharField(label="Part", max_length=80, help_text="As you would ask for it: group seal 8.5 mm.")
    size = forms.CharField(label="Size", max_length=60, required=False)
    material = forms.CharField(label="Material", max_length=40, required=False)
    supplier = forms.CharField(label="Bought from", max_length=80, required=False)
    qty = forms.IntegerField(label="Pieces in the drawer", min_value=0, max_value=10000)
    cost_minor = MoneyField(label="One piece cost")


class ReceiveForm(ActForm):
    """Pieces that came in."""

    qty = forms.IntegerField(label="Pieces", min_value=1, max_value=10000)
    cost_minor = MoneyField(label="One piece cost")
