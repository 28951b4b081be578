"""Forms of Most to pay: the four numbers at the doorstep, then bought or not bought."""

from collections.abc import Mapping
from typing import Any

from django import forms

from workshop.core.forms import AskingForm, MeasureField, ModelAskingForm, MoneyField, VersionedForm
from workshop.core.models import ModelNotes
from workshop.core.words import Kind
from workshop.pricing.most_to_pay import Guess

_OFF = {"autocomplete": "off"}  # a seller's data, not the typist's own
_WORK = ("hours", "minutes")
_MORE = ("parts_minor", "salvage_minor")
_SELLER = ("asked_minor", "seller_name", "seller_phone", "said")
# What the odds of own jobs can fill in; hours and minutes are one number.
FILLED = ("price_minor", *_WORK, "parts_minor", "profit_minor", "not_mended_percent", "salvage_minor")


def _count(label: str, unit: str, most: int, **kwargs: Any) -> forms.IntegerField:
    widget = forms.NumberInput(attrs={"data-unit": unit, "inputmode": "numeric"} | _OFF)
    return forms.IntegerField(label=label, min_value=0, max_value=most, widget=widget, **kwargs)


class SightingForm(ModelAskingForm, VersionedForm):
    """What is it, and the four numbers. What stays empty is filled in from own jobs where they know it."""

    price_minor = MoneyField(
        label="It should sell for",
        error_messages={"required": "Own sales are too few to tell this. Type what it should sell for."},
    )
    hours = _count(
        "Work", "h", 500, error_messages={"required": "No past job tells this. Type how long it takes; 0 for none."}
    )
    minutes = _count("Minutes", "min", 999, required=False)
    parts_minor = MoneyField(label="Parts", required=False)
    profit_minor = MoneyField(label="Profit wanted", error_messages={"required": "Type what must be left over."})
    not_mended_percent = MeasureField(
        label="Times in 100 it cannot be mended",
        unit="in 100",
        min_value=0,
        max_value=100,
        max_digits=4,
        decimal_places=1,
        error_messages={"required": "Type a number from 0 to 100."},
    )
    salvage_minor = MoneyField(label="Its parts would then bring", required=False)
    asked_minor = MoneyField(label="They ask", required=False)
    seller_name = forms.CharField(label="Who sells it", max_length=120, required=False, widget=forms.TextInput(_OFF))
    seller_phone = forms.CharField(
        label="Their phone", max_length=40, required=False, widget=forms.TextInput(attrs=_OFF | {"type": "tel"})
    )
    said = forms.CharField(
        label="What you see, and what they say",
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    filled_for = forms.CharField(widget=forms.HiddenInput, required=False, max_length=40)

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        if data is not None and data.get("minutes") and not data.get("hours"):
            data = data.copy()
            data["hours"] = "0"  # who typed minutes alone meant less than an hour
        super().__init__(data, **kwargs)

    def _typed(self, name: str) -> str:
        value = self.data.get(name, "") if self.is_bound else self.initial.get(name, "")
        return str(value or "").strip()

    @property
    def subject(self) -> str:
        """Return which model or kind was chosen: an id of notes, or a kind; empty before either."""
        notes, kind = self._typed("notes"), self._typed("kind")
        return notes if notes in self.known else kind if kind in Kind.values else ""

    @property
    def filled_before(self) -> str:
        """Return the model or kind whose odds filled the boxes, where another one is chosen now."""
        before = self._typed("filled_for")
        known = before in self.known or before in Kind.values
        return before if known and before != self.subject else ""

    def about(self, subject: str) -> tuple[ModelNotes | None, str]:
        """Return the notes and the kind that a subject names."""
        notes = self.known.get(subject)
        return notes, notes.kind if notes else subject

    @property
    def names_seller(self) -> bool:
        """Say whether the fields of what they ask and who they are stand open."""
        return any(self._typed(name) or name in self.errors for name in _SELLER)

    @property
    def names_more(self) -> bool:
        """Say whether the fields of parts stand open: something is in them, typed or filled in."""
        return any(self._typed(name) or name in self.errors for name in _MORE)

    def fill(self, subject: str, told: Mapping[str, str], before: Mapping[str, str]) -> None:
        """Fill what is empty, or still says what was told `before` of another model; what was typed stays.

        Works on a pressed form, before it is cleaned.
        """
        data = self.data.copy()  # type: ignore[attr-defined]  # a bound form holds a QueryDict
        typed = {name: self._typed(name) for name in FILLED}
        own = {name for name, text in typed.items() if text and text != before.get(name)}
        own |= set(_WORK) if own & set(_WORK) else set()
        for name in FILLED:
            if name not in own:
                data[name] = told.get(name, "")
        data["filled_for"] = subject
        self.data = data

    def hint(self, hints: Mapping[str, str]) -> None:
        """Say under a box's name what own jobs tell of it."""
        for name, words in hints.items():
            self.fields[name].help_text = self[name].help_text = words

    def unpressed(self, currency: str) -> "SightingForm":
        """Return the form with what it holds, as if nothing were pressed yet."""
        first = {name: self.data.get(name, "") for name in self.fields if name != "key"}
        return SightingForm(initial=first, currency=currency)

    @property
    def values(self) -> dict[str, Any]:
        """Return the columns of a sighting."""
        values = super().values
        del values["filled_for"]
        notes = self.known.get(values["notes"])
        values["minutes"] = (values.pop("hours") or 0) * 60 + (values["minutes"] or 0)
        named = {"maker": "", "model": "", "kind": notes.kind} if notes else {}
        amounts = {name: values[name] or 0 for name in ("parts_minor", "salvage_minor")}
        return {**values, **amounts, **named, "notes": notes}

    @property
    def guess(self) -> Guess:
        """Return the four numbers as the sum wants them."""
        values = self.values
        return Guess(**{name: values[name] for name in Guess.__dataclass_fields__})


class BuyForm(AskingForm, VersionedForm):
    """It is bought: what was really paid, and where it stands."""

    price_minor = MoneyField(label="You paid", error_messages={"required": "Type what you paid."})
    place = forms.CharField(
        label="Where does it stand?",
        max_length=40,
        widget=forms.TextInput(attrs=_OFF | {"list": "places"}),
        error_messages={"required": "Say where it stands."},
    )


class DropForm(VersionedForm):
    """It is not bought after all."""

    because = forms.CharField(
        label="Not bought, because",
        max_length=200,
        help_text="Like: they want more, the boiler leaks.",
        error_messages={"required": "Say why in a few words."},
    )
