"""Forms of the bench's discipline: coming back to a place kept, and what should have caught a return."""

from typing import Any

from django import forms

from workshop.bench.words import Missed
from workshop.core.forms import ActForm, VersionedForm

OTHERS = ((Missed.NO_CHECK.value, Missed.NO_CHECK.label), (Missed.NOT_A_FAULT.value, Missed.NOT_A_FAULT.label))


class ReturnForm(VersionedForm):
    """Whether the last thing done is still so. Its version is the id of the place kept."""

    still = forms.ChoiceField(
        choices=(("yes", "Yes"), ("no", "No")), error_messages={"required": "Say whether it is still so."}
    )


class EscapeForm(ActForm):
    """Which check should have caught it: one of the earlier job's items, none we have, or not a fault."""

    choice = forms.ChoiceField(label="Which check should have caught it?", widget=forms.Select)
    words = forms.CharField(
        label="In words", required=False, max_length=200, help_text="What we do not look at, or what it was."
    )

    def __init__(self, *args: Any, checks: list[tuple[str, list[tuple[str, str]]]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["choice"].choices = [("", "Choose one"), *checks, ("None of them", list(OTHERS))]  # type: ignore[attr-defined]

    @property
    def answer(self) -> dict[str, Any]:
        """Return what the service wants."""
        choice, words = self.values["choice"], self.values["words"]
        if choice in (Missed.NO_CHECK, Missed.NOT_A_FAULT):
            return {"missed": Missed(choice), "words": words}
        return {"missed": Missed.CHECK, "item": choice, "words": words}
