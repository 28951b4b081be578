"""Numbers as people type them: a decimal comma, a typed unit, spaces; and never a guess at what was meant."""

import re
from decimal import Decimal
from typing import Any

from django import forms

from workshop.trade.money import rounding

_TYPED_UNIT = re.compile(r"(?<=[\d.,])\s*[a-zA-Z°µΩ/²%]+\.?\s*$")  # after a figure only: "long" is no unit
_MARKS = re.compile(r"[.,]")
_SPACES = re.compile(r"[\s\u00a0\u202f'’]")
_FIGURES = re.compile(r"[+-]?\d{1,18}(\.\d*)?|[+-]?\.\d+", re.ASCII)
_THOUSANDS = re.compile(r"[+-]?\d{1,3}(,\d{3})+|[+-]?\d{1,3}(\.\d{3})+", re.ASCII)


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
            minor = rounding.to_minor(self._amount(text), self.currency)
        except ValueError:  # a currency the house does not know was typed beside it
            raise forms.ValidationError("Choose the currency first, then type the amount again.") from None
        if abs(minor) > 10**12:
            raise forms.ValidationError("This amount is too large. Check the figures.")
        if self.minimum_minor is not None and minor < self.minimum_minor:
            raise forms.ValidationError("This amount cannot be below zero.")
        return minor

    def _amount(self, text: str) -> Decimal:
        """Return the amount typed. A mark that may stand between thousands or before pence is asked about."""
        text = _SPACES.sub("", text.replace(rounding.SYMBOL.get(self.currency, ""), "").replace(self.currency, ""))
        point = max(text.rfind(","), text.rfind("."))
        if "," in text and "." in text:
            whole, fraction = text[:point], text[point + 1 :]
            if not _THOUSANDS.fullmatch(whole):
                raise forms.ValidationError("This has two decimal points. Type one, like 85.00.")
            text = _MARKS.sub("", whole) + f".{fraction}"
        elif _THOUSANDS.fullmatch(text):
            text = self._grouped(text)
        elif text.count(",") + text.count(".") > 1:
            raise forms.ValidationError("This has two decimal points. Type one, like 85.00.")
        return self._checked(text.replace(",", "."))

    def _grouped(self, text: str) -> str:
        """Read 1,234,567 as what it can only be; ask about 1,234, which may be a thousand or one and a bit."""
        digits, places = _MARKS.sub("", text), rounding.minor_digits(self.currency)
        if places == 0 or len(_MARKS.findall(text)) > 1:
            return digits
        if places == len(text) - max(text.rfind(","), text.rfind(".")) - 1:
            return text
        raise forms.ValidationError(f"Is this {digits}? Type it without the mark: {digits} or {digits}.00.")

    def _checked(self, text: str) -> Decimal:
        if not _FIGURES.fullmatch(text):
            raise forms.ValidationError("This is not an amount. Type one like 85.00.")
        places = rounding.minor_digits(self.currency)
        if len(text.partition(".")[2]) > places:
            raise forms.ValidationError(f"This has more than {places} figures after the point. Type one like 85.00.")
        return Decimal(text)

    def prepare_value(self, value: Any) -> Any:
        """Show minor units as an amount again."""
        return str(rounding.from_minor(value, self.currency)) if isinstance(value, int) else value

    def widget_attrs(self, widget: forms.Widget) -> dict[str, Any]:
        """Ask phones for the number keys."""
        return {"inputmode": "decimal", "autocomplete": "off"}
