"""The boxes that say which model a machine is: one of the notes, or another one by maker, model and kind."""

from typing import Any

from django import forms
from django.http import QueryDict

from workshop.core.forms.base import ActForm
from workshop.core.models import ModelNotes
from workshop.core.words import Kind

ANOTHER = "ANOTHER"
NAMED = {"maker": "Type the maker.", "model": "Type the model.", "kind": "Choose a kind."}  # another model needs all
_OFF = {"autocomplete": "off"}  # a machine's data, not the typist's own


def known_models() -> dict[str, ModelNotes]:
    """Return all model notes by the value of their choice."""
    return {str(row.pk): row for row in ModelNotes.objects.order_by("maker", "model", "pk")}


def model_choices(known: dict[str, ModelNotes], empty: str) -> list[tuple[str, str]]:
    """Return the choices of a box of models; `empty` says what it means to choose none."""
    return [("", empty), *((pk, str(row)) for pk, row in known.items()), (ANOTHER, "Another model: name it below")]


def named_boxes() -> dict[str, forms.Field]:
    """Return fresh boxes that name another model."""
    return {
        "maker": forms.CharField(label="Maker", max_length=60, required=False, widget=forms.TextInput(attrs=_OFF)),
        "model": forms.CharField(label="Model", max_length=80, required=False, widget=forms.TextInput(attrs=_OFF)),
        "kind": forms.ChoiceField(label="Kind", required=False, choices=[("", "Choose a kind"), *Kind.choices]),
    }


def want_name(form: ActForm, box: str = "{}") -> None:
    """Refuse another model without its whole name. `box` says how this form calls a box, "{}_3" on its third line."""
    for name, words in NAMED.items():
        if not form.cleaned_data.get(box.format(name)) and box.format(name) not in form.errors:
            form.add_error(box.format(name), words)


class ModelAskingForm(ActForm):
    """A form that begins with "What is it?". Who typed a maker and chose nothing meant another model."""

    notes = forms.ChoiceField(
        label="What is it?",
        error_messages={"required": "Say what it is: choose a model, or another one and name it."},
    )
    maker, model, kind = named_boxes().values()

    def __init__(self, data: QueryDict | None = None, *args: Any, **kwargs: Any) -> None:
        if data is not None and data.get("maker") and not data.get("notes"):
            data = data.copy()
            data["notes"] = ANOTHER
        super().__init__(data, *args, **kwargs)
        self.known = known_models()
        self.fields["notes"].choices = model_choices(self.known, "Choose a model")  # type: ignore[attr-defined]
        if not self.known:
            self.initial.setdefault("notes", ANOTHER)
        self.asks_for(*NAMED)

    def clean(self) -> dict[str, Any]:
        """Want a known model, or maker, model and kind of another."""
        cleaned = super().clean()
        if cleaned.get("notes") == ANOTHER:
            want_name(self)
        return cleaned

    @property
    def names_another(self) -> bool:
        """Say whether the boxes of another model stand open."""
        return not self.known or self["notes"].value() == ANOTHER
