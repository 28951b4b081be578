"""Several machines bought for one price."""

import re
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from intake.forms.shared import OFF
from intake.services import NewLot, NewMachine
from workshop.core.forms import ANOTHER, NAMED, AskingForm, DayField, MoneyField, VersionedForm
from workshop.core.forms.another import known_models, model_choices, named_boxes, want_name
from workshop.trade.money.lots import LotRule

LINES, MORE, MOST = 4, 4, 24  # lines at first, added by one press, and at most. House policy.
_OF_LINE = ("notes", "serial", "fetch_minor")
_LINE_BOX = re.compile(r"[a-z_]+_(\d+)")


@dataclass(frozen=True, slots=True)
class LotLine:
    """The boxes of one machine; those that name another model stand folded until they are wanted."""

    number: int
    asked: list[forms.BoundField]
    named: list[forms.BoundField]
    kind: forms.BoundField
    names_another: bool


class LotForm(AskingForm):
    """Log several: what was paid for all, from whom, and one line a machine. Empty lines count for nothing."""

    lines = forms.IntegerField(widget=forms.HiddenInput, required=False)
    price_minor = MoneyField(
        label="What did they cost together?",
        help_text="What you paid the seller for all of them. Leave out delivery.",
        error_messages={"required": "Type what you paid for all of them."},
    )
    seller_name = forms.CharField(
        label="From whom?",
        max_length=120,
        widget=forms.TextInput(attrs=OFF),
        error_messages={"required": "Type who sold them."},
    )
    seller_phone = forms.CharField(
        label="Seller's phone", max_length=40, required=False, widget=forms.TextInput(attrs=OFF | {"type": "tel"})
    )
    place = forms.CharField(
        label="Where do they stand?",
        max_length=40,
        widget=forms.TextInput(attrs=OFF | {"list": "places"}),
        error_messages={"required": "Say where they stand."},
    )
    rule = forms.ChoiceField(
        label="How the price is shared out",
        choices=[(rule.value, rule.label) for rule in LotRule],
        widget=forms.RadioSelect,
        help_text="To the penny: the shares add up to what you paid.",
        error_messages={"required": "Choose how the price is shared out."},
    )
    acquired_on = DayField(label="Bought on", required=False)
    bought_at = forms.CharField(label="Bought at", max_length=80, required=False)
    payment_method = forms.CharField(label="Paid by", max_length=40, required=False, help_text="Like: cash.")

    def __init__(self, *args: Any, lines: int = LINES, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.count = max(2, min(lines, MOST))
        self.fields["lines"].initial = self.initial["lines"] = self.count
        self.known = known_models()
        for number in range(self.count):
            for name, field in self._line_fields().items():
                self.add(f"{name}_{number}", field)

    def _line_fields(self) -> dict[str, forms.Field]:
        choices = model_choices(self.known, "No machine on this line")
        return {
            "notes": forms.ChoiceField(label="What is it?", required=False, choices=choices),
            "serial": forms.CharField(label="Serial number", max_length=40, required=False),
            "fetch_minor": MoneyField(label="Should fetch", required=False),
            **named_boxes(),
        }

    def add_error(self, field: str | None, error: Any) -> None:
        """Say in front of each sentence about a line which machine it is."""
        if line := _LINE_BOX.fullmatch(field or ""):
            said = ValidationError(error).messages
            error = ValidationError([f"Machine {int(line[1]) + 1}: {words[:1].lower()}{words[1:]}" for words in said])
        super().add_error(field, error)

    def clean(self) -> dict[str, Any]:
        """Want two lines or more, each with its model, and what each should fetch where the price follows it."""
        cleaned = super().clean()
        for number in range(self.count):
            self._want_model(number)
        used = self._used()
        if len(used) < 2 and not self.errors:
            empty = next(number for number in range(self.count) if number not in used)
            self.add_error(f"notes_{empty}", "A lot is two machines or more. Choose a model here too.")
        if cleaned.get("rule") == LotRule.BY_EXPECTED:
            self._want_fetch(used)
        return cleaned

    def _want_model(self, number: int) -> None:
        """Want a model of a line with anything typed, and the whole name of another; who typed a maker meant that."""
        typed = {name: self.cleaned_data.get(f"{name}_{number}") for name in (*_OF_LINE, *NAMED)}
        box = f"notes_{number}"
        if not typed["notes"] and typed["maker"]:
            typed["notes"] = self.cleaned_data[box] = ANOTHER
        if typed["notes"] == ANOTHER:
            want_name(self, f"{{}}_{number}")
        elif not typed["notes"] and box not in self.errors and any(v not in (None, "") for v in typed.values()):
            self.add_error(box, "Choose the model of this machine, or another one and name it.")

    def _want_fetch(self, used: list[int]) -> None:
        for number in used:
            name = f"fetch_minor_{number}"
            if not self.cleaned_data.get(name) and name not in self.errors:
                self.add_error(name, "Type what this one should fetch, or choose equal parts.")

    def _used(self) -> list[int]:
        return [number for number in range(self.count) if self.cleaned_data.get(f"notes_{number}")]

    @property
    def rows(self) -> list[LotLine]:
        """Return the lines of machines, each with its questions."""
        return [self._row(number) for number in range(self.count)]

    def _row(self, number: int) -> LotLine:
        asked, another = ([self[f"{name}_{number}"] for name in names] for names in (_OF_LINE, NAMED))
        opened = asked[0].value() == ANOTHER or any(box.value() or box.errors for box in another)
        *named, kind = another
        return LotLine(number + 1, asked, named, kind, opened)

    @property
    def may_grow(self) -> bool:
        """Say whether more lines can be added."""
        return self.count < MOST

    def lot(self) -> NewLot:
        """Return the lot as it was bought."""
        values = self.cleaned_data
        same = ("seller_name", "seller_phone", "place", "acquired_on", "bought_at", "payment_method", "sure")
        used = self._used()
        machines = tuple(
            NewMachine(
                notes=self.known.get(values[f"notes_{number}"]),
                **{name: values[f"{name}_{number}"] for name in NAMED},
                serial=values[f"serial_{number}"],
                price_minor=0,
                **{name: values[name] for name in same},
            )
            for number in used
        )
        weights = tuple(values[f"fetch_minor_{number}"] for number in used)
        return NewLot(values["price_minor"], LotRule(values["rule"]), machines, weights)


class LotPriceForm(VersionedForm):
    """The price of a lot, put right."""

    price_minor = MoneyField(
        label="What did they cost together?", error_messages={"required": "Type what you paid for all of them."}
    )
