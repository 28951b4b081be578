"""Forms of the questions and answers on the buyer's page."""

from typing import Any

from django import forms

from handover import answers
from workshop.core.forms import VersionedForm


class OurAnswerForm(VersionedForm):
    """One of ours, worded anew, moved, or taken off the page."""

    question = forms.CharField(label="Question", max_length=answers.QUESTION_SIGNS)
    answer = forms.CharField(
        label="Answer",
        max_length=answers.ANSWER_SIGNS,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text="Every buyer can read it: no names, no addresses, no prices.",
    )
    position = forms.IntegerField(
        label="Place in the list", min_value=1, max_value=999, help_text="A small number stands on top."
    )
    on_page = forms.BooleanField(label="Shown on the buyer's page", required=False, initial=True)


class OwnAnswerForm(OurAnswerForm):
    """A question and answer of the workshop's own."""

    which = forms.ChoiceField(label="It speaks of", required=False)
    field_order = ["question", "answer", "which", "position", "on_page"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["which"].choices = answers.choices()  # type: ignore[attr-defined]  # a ChoiceField
        self.fields["position"].initial = answers.OWN_POSITION
