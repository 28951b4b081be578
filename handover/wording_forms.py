"""Forms of what a workshop words itself."""

from typing import Any

from django import forms

from handover import wording
from handover.blocks import Block
from workshop.core.forms import ActForm, VersionedForm


class WordingForm(VersionedForm):
    """A block in the workshop's own words."""

    words = forms.CharField(
        label="Your words",
        max_length=1000,
        error_messages={"required": "Type your words, or go back to ours."},
    )

    def __init__(self, *args: Any, block: Block, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.block = block
        rows = min(max(block.most_lines, 2), 6)
        self.fields["words"].widget = forms.Textarea(attrs={"rows": rows})
        self.fields["words"].help_text = hint(block)

    def clean(self) -> dict[str, Any]:
        """Refuse what does not fit its place on the paper."""
        cleaned = super().clean()
        for sentence in wording.faults(self.block.name, cleaned.get("words") or ""):
            self.add_error("words", sentence)
        return cleaned


class BackForm(ActForm):
    """Back to ours."""


def hint(block: Block) -> str:
    """Return how to type the words of a block."""
    if block.added:
        return (
            f"One message a line, {block.most_lines} at most: CAUTION | what can happen | how to avoid it. "
            "Words of harm, from worst: DANGER, WARNING, CAUTION; NOTICE where only things can break."
        )
    lines = "One line" if block.most_lines == 1 else f"One thing a line, {block.most_lines} at most"
    named = "".join(f" [{name}] prints {what}." for name, what in block.named.items())
    return f"{lines}, {block.line_signs} characters each.{named}"
