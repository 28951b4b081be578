"""The form of selling a machine untested or faulty."""

from typing import Any

from django import forms

from handover.endings import UntestedSale
from workshop.core.forms import ActForm, MoneyField


class SellUntestedForm(ActForm):
    """Who takes it, for how much, what is paid, and that the label is on. A reservation brings buyer and price."""

    buyer_name = forms.CharField(label="Buyer", max_length=120)
    buyer_phone = forms.CharField(label="Their phone", max_length=40, required=False)
    price_minor = MoneyField(label="Price agreed")
    paid_minor = MoneyField(label="Paid now", required=False)
    method = forms.CharField(label="Paid by", max_length=40, required=False, help_text="Like: cash, card, bank.")
    owed_words = forms.CharField(label="If a balance stays open: who pays what when", max_length=200, required=False)
    label_on = forms.BooleanField(label="The label is printed and tied on", required=False)
    plug_cut = forms.BooleanField(label="Its plug is cut off", required=False)

    def __init__(self, *args: Any, reserved: bool = False, must_disable: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        hidden = ("buyer_name", "buyer_phone", "price_minor") if reserved else ()
        for name in (*hidden, *(() if must_disable else ("plug_cut",))):
            del self.fields[name]

    @property
    def new(self) -> UntestedSale:
        """Return what the service wants."""
        get = self.cleaned_data.get
        return UntestedSale(
            buyer_name=get("buyer_name") or "",
            buyer_phone=get("buyer_phone") or "",
            price_minor=get("price_minor"),
            paid_minor=get("paid_minor") or 0,
            method=get("method") or "",
            owed_words=get("owed_words") or "",
            label_on=bool(get("label_on")),
            plug_cut=bool(get("plug_cut")),
        )
