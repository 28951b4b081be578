"""Form pieces every room shares: the form key, the version, and our own sentences for refused figures."""

import secrets
from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from workshop.core.forms.numbers import MeasureField, MoneyField
from workshop.core.templatetags import measures
from workshop.trade.money import rounding

# Wrapped are the sentences that a buyer's form can say too.
_SENTENCES: dict[str, Any] = {
    "min_value": "This is under %(limit_value)s. Check the figure.",
    "max_value": "This is over %(limit_value)s. Check the figure.",
    "max_length": gettext_lazy(
        "This is too long by some: keep it to %(limit_value)d characters, it has %(show_value)d."
    ),
    "max_digits": "This has too many figures. Check it.",
    "max_whole_digits": "This is too large. Check the figure.",
    "max_decimal_places": "This has too many figures after the point: %(max)s at most.",
}


def new_key() -> str:
    """Return a fresh form key: the same form pressed five times is one record."""
    return secrets.token_urlsafe(18)


def _as_text(field: forms.Field) -> None:
    """Make a number's box a text box: a browser's own number box drops a decimal comma without a word."""
    widget: Any = field.widget
    widget.input_type = "text"
    widget.attrs = {name: value for name, value in widget.attrs.items() if name not in ("min", "max", "step")}
    whole = type(field) is forms.IntegerField
    widget.attrs.setdefault("inputmode", "numeric" if whole else "decimal")
    widget.attrs.setdefault("autocomplete", "off")
    if whole and field.error_messages.get("invalid") == forms.IntegerField.default_error_messages["invalid"]:
        field.error_messages["invalid"] = "This is not a whole number. Type one like 2."


def said(field: forms.Field, value: Any) -> str:
    """Return a stored value as the page of its box would say it; empty where there is none."""
    if value is None or value == "":
        return ""
    if isinstance(field, MoneyField):
        return rounding.say(value, field.currency)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(field, forms.ChoiceField):
        return str(dict(field.choices).get(value, value))  # type: ignore[arg-type]  # ours are flat lists
    if isinstance(value, date):
        return measures.day(value)
    if isinstance(field, MeasureField):
        return measures.measure(value, field.unit) if field.unit else measures.number(value)
    return str(value)


class ActForm(forms.Form):
    """A form that acts: it carries its own key, speaks the shop's currency and never adds asterisks."""

    key = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    use_required_attribute = False

    def __init__(self, *args: Any, currency: str = "GBP", **kwargs: Any) -> None:
        # Several forms stand on one page: each names its boxes by its own kind, so that every label finds its box.
        kwargs.setdefault("auto_id", f"{type(self).__name__.lower()}-%s")
        super().__init__(*args, **kwargs)
        self._currency = currency
        self.fields["key"].initial = new_key()
        for field in self.fields.values():
            self._fit(field)

    def add(self, name: str, field: forms.Field) -> None:
        """Add a box that this form has only sometimes; it speaks as the others do."""
        self._fit(field)
        self.fields[name] = field

    def asks_for(self, *names: str) -> None:
        """Leave "(optional)" out of these labels: empty is refused later, or means something."""
        for name in names:
            self.fields[name].asked = True  # type: ignore[attr-defined]  # read by _field_label.html only

    def _fit(self, field: forms.Field) -> None:
        if field.error_messages.get("required") == forms.Field.default_error_messages["required"]:
            chosen = isinstance(field.widget, forms.Select | forms.RadioSelect | forms.CheckboxSelectMultiple)
            field.error_messages["required"] = _("Choose one.") if chosen else _("Type an answer here.")
        for code, words in _SENTENCES.items():
            field.error_messages.setdefault(code, words)
        if isinstance(field.widget, forms.NumberInput):
            _as_text(field)
        if isinstance(field, MoneyField):
            field.currency = self._currency
            field.widget.attrs["data-currency"] = rounding.SYMBOL.get(self._currency, self._currency)

    def clean(self) -> dict[str, Any]:
        """Refuse characters no database column can hold."""
        cleaned = super().clean() or self.cleaned_data
        for name, value in list(cleaned.items()):
            if isinstance(value, str) and "\x00" in value:
                self.add_error(name, _("This holds a character that cannot be stored. Type it again."))
        return cleaned

    def in_words(self, columns: Mapping[str, Any]) -> dict[str, str]:
        """Return what the columns of a row hold, by the label of the box that asks for each; others are left out."""
        asked = {name: value for name, value in columns.items() if name in self.fields}
        return {str(self.fields[name].label or name): said(self.fields[name], value) for name, value in asked.items()}

    @property
    def values(self) -> dict[str, Any]:
        """Return what was typed, cleaned, without the form's own machinery."""
        return {name: value for name, value in self.cleaned_data.items() if name not in ("key", "version")}


class AskingForm(ActForm):
    """A form that may be asked about: `sure` carries what a second press says yes to."""

    # Kept to the letter: a yes with its blanks cut off is a yes to something else, and would be asked for ever.
    sure = forms.CharField(widget=forms.HiddenInput, required=False, max_length=120, strip=False)


class VersionedForm(ActForm):
    """A form over a row that people edit: it carries the version they saw."""

    version = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0)

    @property
    def seen_version(self) -> int:
        """Return the version the person saw (0 matches no row, so a lost one counts as stale)."""
        return self.cleaned_data.get("version") or 0
