"""Forms of a sale at a distance."""

from typing import Any

from django import forms

from handover.words import DistanceFact
from workshop.core.forms import ActForm, DayField

_DAY = {
    DistanceFact.PAPER: "They have it since",
    DistanceFact.ARRIVED: "It arrived on",
    DistanceFact.CANCELLED: "They said so on",
}


class DistanceForm(ActForm):
    """One fact and its day. Only the buyer's word that they cancel has words of its own."""

    on = DayField(
        label="On",
        error_messages={"required": "Choose the day."},
    )
    words = forms.CharField(
        label="How they said it", max_length=200, required=False, help_text="Like: in a message, with the form."
    )

    def __init__(self, *args: Any, fact: DistanceFact, **kwargs: Any) -> None:
        kwargs.setdefault("auto_id", f"distance-{fact.lower()}-%s")
        super().__init__(*args, **kwargs)
        self.fact = fact
        self.fields["on"].label = _DAY[fact]
        if fact is not DistanceFact.CANCELLED:
            del self.fields["words"]
