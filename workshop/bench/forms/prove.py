"""Forms of the cards: one reading, one thing seen, not possible. Readings are never prefilled."""

from decimal import Decimal
from typing import Any

from django import forms

from workshop.bench.cards import Box, Item
from workshop.bench.services.measured import Typed
from workshop.bench.words import NotPossible
from workshop.core.forms import AskingForm, MeasureField, VersionedForm
from workshop.core.models import Instrument
from workshop.core.words import Warmth
from workshop.trade.safety.electrical import Measure

SIGNS = (("", "exactly"), (">", "over: the meter cannot show more"), ("<", "under: the meter cannot show less"))
EMPTY = {"required": "Type what the instrument shows."}
VOLTS = ((500, "500 V"), (250, "250 V"))
# What testers offer (S-19); a select, since 200 typed may mean milliampere or ampere.
CURRENTS = (("0.02", "20 mA"), ("0.1", "100 mA"), ("0.2", "200 mA"), ("5", "5 A"), ("10", "10 A"), ("25", "25 A"))
_MEASURED = ("sign", "test_volts", "test_current_a", "leads_nulled", "lead_ohm", "warmth")


class ReadingForm(AskingForm, VersionedForm):
    """What the instrument shows, or what was seen; the item decides which boxes there are.

    Its version is the id of the newest reading the person saw (0: none yet).
    """

    sign = forms.ChoiceField(label="Meter shows", choices=SIGNS, required=False)
    test_volts = forms.TypedChoiceField(label="Tested at", choices=VOLTS, coerce=int, required=False, empty_value=None)
    test_current_a = forms.TypedChoiceField(
        label="Test current", choices=(("", "not said"), *CURRENTS), coerce=Decimal, required=False, empty_value=None
    )
    leads_nulled = forms.BooleanField(label="The leads were nulled", required=False)
    lead_ohm = MeasureField(
        label="Leads and extension cord alone",
        unit="ohm",
        required=False,
        min_value=0,
        max_digits=12,
        decimal_places=4,
        help_text="Measured by themselves. They are taken off your reading; both are kept.",
    )
    warmth = forms.ChoiceField(label="The machine was", choices=(("", "not said"), *Warmth.choices), required=False)
    instrument = forms.ModelChoiceField(label="Instrument", queryset=Instrument.objects.none(), required=False)
    answer = forms.CharField(required=False, max_length=12)
    read_at = forms.TimeField(
        label="Read earlier today, at",
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text="Empty where you enter it as you read it.",
        error_messages={"invalid": "Type a time of day, like 14:30."},
    )
    note = forms.CharField(label="Note", required=False, max_length=200)
    second_look = forms.BooleanField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, item: Item, test_volts: int = 500, tester: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.item, self.tester = item, tester
        if item.seen or tester:
            for name in _MEASURED:
                del self.fields[name]
        else:
            del self.fields["answer"]
            self._measured(item, test_volts)
        self._instruments(item, tester=tester)

    def _measured(self, item: Item, test_volts: int) -> None:
        for box in item.boxes:
            self.add(box.name, _choice(box) if box.choices else _number(box))
        self.order_fields([box.name for box in item.boxes])
        self.asks_for("sign")
        self.fields["test_volts"].initial = test_volts
        insulation = item.measure is Measure.INSULATION_MOHM
        wanted = {
            "sign": item.measure is not None,
            "test_volts": insulation,
            "warmth": insulation and item.code != "insulation_hot",  # that one says it in its name
            "test_current_a": item.measure is Measure.EARTH_OHM,
            "leads_nulled": item.measure is Measure.EARTH_OHM,
            "lead_ohm": item.measure is Measure.EARTH_OHM,
        }
        for name in [name for name, asked in wanted.items() if not asked]:
            del self.fields[name]

    def _instruments(self, item: Item, *, tester: bool) -> None:
        if item.seen or item.instrument is None:
            del self.fields["instrument"]
            return
        owned = Instrument.objects.filter(kind=item.instrument.value, retired=False, pass_fail_only=tester)
        field = self.fields["instrument"]
        field.queryset = owned.order_by("name", "pk")  # type: ignore[attr-defined]  # a ModelChoiceField
        only = list(owned.order_by("pk")[:2])
        field.initial = only[0].pk if len(only) == 1 else None
        field.required = tester

    @property
    def boxes(self) -> list[forms.BoundField]:
        """Return the boxes typed into, in order: none for a thing that is seen or a pass/fail tester."""
        return [self[box.name] for box in self._asked]

    @property
    def typed(self) -> Typed:
        """Return what the service wants."""
        values = {name: value for name, value in self.values.items() if value is not None}
        typed = {box.name: values.pop(box.name) for box in self._asked}
        if self.item.inputs:
            return Typed(inputs=typed, **values)
        return Typed(series=tuple(typed.values()), **values) if self.item.draws else Typed(**typed, **values)

    @property
    def _asked(self) -> tuple[Box, ...]:
        return () if self.item.seen or self.tester else self.item.boxes


def _number(box: Box) -> MeasureField:
    field = MeasureField(label=box.label, error_messages=EMPTY, min_value=0, max_digits=12, decimal_places=4)
    field.widget.attrs["data-unit"] = box.unit  # the template says the unit after it
    return field


def _choice(box: Box) -> forms.ChoiceField:
    return forms.ChoiceField(label=box.label, choices=box.choices, widget=forms.RadioSelect)


class StrikeForm(AskingForm, VersionedForm):
    """Undo beside the last thing done. Its version is the id of the newest reading of that item the person saw."""


class SkipForm(VersionedForm):
    """Not possible: a reason from the list, and words. Its version is that of the reading form."""

    reason = forms.ChoiceField(label="Not possible, because", choices=NotPossible.choices)
    words = forms.CharField(label="In words", max_length=150, help_text="It prints on the buyer's sheet.")

    def __init__(self, *args: Any, failed: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not failed:  # nothing is out of its limit: that reason is not offered
            self.fields["reason"].choices = [c for c in NotPossible.choices if c[0] != NotPossible.LEFT]  # type: ignore[attr-defined]
