"""Forms of the as-found card: an answer by its button, what was seen at the seller's, out of the bag."""

from collections.abc import Collection
from typing import Any

from django import forms

from intake.words import AsFoundAnswer
from workshop.bench import as_found_items
from workshop.bench.as_found_items import AskedItem
from workshop.core.forms import ActForm, DayField


class AsFoundForm(ActForm):
    """One of three buttons, and a few words."""

    answer = forms.CharField(required=False)
    words = forms.CharField(
        label="A few words",
        max_length=120,
        required=False,
        help_text="If something is wrong: what you saw, heard or smelled.",
        error_messages={"max_length": "This is too long. Keep it under 120 letters."},
    )

    def clean(self) -> dict[str, Any]:
        """Want one of the three."""
        cleaned = super().clean()
        if cleaned.get("answer") not in AsFoundAnswer.values:
            self.add_error(None, "Say what you found: press one of the three.")
        return cleaned

    @property
    def pressed(self) -> AsFoundAnswer:
        """Return the button."""
        return AsFoundAnswer(self.cleaned_data["answer"])


class SeenRunningForm(ActForm):
    """What a person saw it do before it was bought."""

    items = forms.MultipleChoiceField(
        label="What I saw it do",
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": "Tick what you saw it do.",
            "invalid_choice": "This machine has no such item. Tick one of these.",
        },
    )
    seen_on = DayField(label="Seen on", error_messages={"required": "Type the day you saw it run."})

    def __init__(self, *args: Any, items: Collection[AskedItem], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["items"]
        field.choices = [(i.code.value, as_found_items.seen_words(i.code)) for i in items if i.needs_mains]  # type: ignore[attr-defined]


class ClearedForm(ActForm):
    """Why it may leave its bag."""

    words = forms.CharField(
        label="What was done",
        max_length=200,
        help_text="Like: tank and tray washed hot, dry for a week, nothing alive.",
        error_messages={"required": "Say what was done: others rely on it."},
    )
