"""Form pieces every room shares: tolerant numbers and money, the form key, the version."""

import re
import secrets
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms

from workshop.trade.money import rounding

_TYPED_UNIT = re.compile(r"(?<=[\d.,])\s*[a-zA-Z°µΩ/²%]+\.?\s*$")  # after a figure only: "long" is no unit


class MeasureField(forms.DecimalField):
    """A number with a unit: a comma is a decimal point, a typed unit is ignored, spaces do no harm."""

    default_error_messages = {"invalid": "This is not a number. Type one like 17.5."}

    def __init__(self, *, unit: str = "", **kwargs: Any) -> None:
        self.unit = unit
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> Any:
        """Return the typed number as a Decimal, or None when the box is empty."""
        if isinstance(value, str):
            value = _TYPED_UNIT.sub("", value.strip()).replace("\u00a0", "").replace(" ", "")
            value = value.replace(",", ".") if value.count(",") + value.count(".") == 1 else value
            if value.count(".") > 1:
                raise forms.ValidationError("This has two decimal points. Type one, like 17.5.", code="invalid")
        return super().to_python(value)

    def prepare_value(self, value: Any) -> Any:
        """Show a stored number as people write it: 17.5, not 17.5000; what was typed stays as typed."""
        if isinstance(value, Decimal) and value.is_finite():
            text = f"{value:f}"
            return text.rstrip("0").rstrip(".") if "." in text else text
        return value

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        """Ask phones for the number keys, and say the unit beside the box."""
        attrs = {"inputmode": "decimal", "autocomplete": "off"}
        return {**attrs, "data-unit": self.unit} if self.unit else attrs


class MoneyField(forms.CharField):
    """An amount in the shop's currency, cleaned to whole minor units (pence, cents)."""

    def __init__(self, *, minimum_minor: int | None = 0, **kwargs: Any) -> None:
        self.currency = "GBP"
        self.minimum_minor = minimum_minor
        super().__init__(**kwargs)

    def clean(self, value: Any) -> int | None:
        """Return minor units. A currency sign, spaces and a decimal comma are accepted."""
        text = str(super().clean(value) or "").strip()
        if not text:
            return None
        try:
            minor = rounding.to_minor(self._tidy(text), self.currency)
        except (InvalidOperation, ValueError, ArithmeticError):
            raise forms.ValidationError("This is not an amount. Type one like 85.00.") from None
        if abs(minor) > 10**12:
            raise forms.ValidationError("This amount is too large. Check the figures.")
        if self.minimum_minor is not None and minor < self.minimum_minor:
            raise forms.ValidationError("This amount cannot be below zero.")
        return minor

    def _tidy(self, text: str) -> Decimal:
        symbol = rounding.SYMBOL.get(self.currency, "")
        text = text.replace(symbol, "").replace(self.currency, "").replace("\u00a0", "").replace(" ", "")
        if text.count(".") > 1:
            raise forms.ValidationError("This has two decimal points. Type one, like 85.00.")
        if "," in text and "." in text:
            text = text.replace(",", "")
        number = Decimal(text.replace(",", "."))
        if not number.is_finite():
            raise ValueError(text)
        return number

    def prepare_value(self, value: Any) -> Any:
        """Show minor units as an amount again."""
        return str(rounding.from_minor(value, self.currency)) if isinstance(value, int) else value

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        """Ask phones for the number keys."""
        return {"inputmode": "decimal", "autocomplete": "off"}


def new_key() -> str:
    """Return a fresh form key: the same form pressed five times is one record."""
    return secrets.token_urlsafe(18)


class ActForm(forms.Form):
    """A form that acts: it carries its own key, speaks the shop's currency and never adds asterisks."""

    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    use_required_attribute = False

    def __init__(self, *args: Any, currency: str = "GBP", **kwargs: Any) -> None:
        # Several forms stand on one page: each names its boxes by its own kind, so that every label finds its box.
        kwargs.setdefault("auto_id", f"{type(self).__name__.lower()}-%s")
        super().__init__(*args, **kwargs)
        self.fields["key"].initial = new_key()
        for field in self.fields.values():
            if field.error_messages.get("required") == forms.Field.default_error_messages["required"]:
                chosen = isinstance(field.widget, forms.Select | forms.RadioSelect | forms.CheckboxSelectMultiple)
                field.error_messages["required"] = "Choose one." if chosen else "Type an answer here."
            if isinstance(field, MoneyField):
                field.currency = currency
                field.widget.attrs["data-currency"] = rounding.SYMBOL.get(currency, currency)

    def clean(self) -> dict[str, Any]:
        """Refuse characters no database column can hold."""
        cleaned = super().clean() or self.cleaned_data
        for name, value in list(cleaned.items()):
            if isinstance(value, str) and "\x00" in value:
                self.add_error(name, "This holds a character that cannot be stored. Type it again.")
        return cleaned

    @property
    def values(self) -> dict[str, Any]:
        """Return what was typed, cleaned, without the form's own machinery."""
        return {name: value for name, value in self.cleaned_data.items() if name not in ("key", "version")}


class PlaceAsked(forms.Form):
    """A form with a box `place`: it knows which place its person was asked about on the page before.

    `shared/_place_asked.html` carries that place; pressed again with the same one, the form goes on.
    """

    @property
    def asked(self) -> str:
        """Return the place that was asked about, as it was typed; nothing when none was."""
        return str(self.data.get(self.add_prefix("asked")) or "")


class VersionedForm(ActForm):
    """A form over a row that people edit: it carries the version they saw."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0)

    @property
    def seen_version(self) -> int:
        """Return the version the person saw (0 matches no row, so a lost one counts as stale)."""
        return self.cleaned_data.get("version") or 0
