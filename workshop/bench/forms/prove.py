"""Forms of the cards: one reading, one thing seen, not possible. Readings are never prefilled."""

from typing import Any

from django import forms

from workshop.bench.cards import Box, Item
from workshop.bench.services.prove import Typed
from workshop.bench.words import NotPossible
from workshop.core.forms import AskingForm, MeasureField, VersionedForm
from workshop.core.models import Instrument
from workshop.trade.safety.electrical import Measure

SIGNS = (("", "exactly"), (">", "over: the meter cannot show more"), ("<", "under: the meter cannot show less"))
EMPTY = {"required": "Type what the instrument shows."}
VOLTS = ((500, "500 V"), (250, "250 V"))


class ReadingForm(AskingForm, VersionedForm):
    """What the instrument shows, or what was seen; the item decides which boxes there are.

    Its version is the id of the newest reading the person saw (0: none yet).
    """

    sign = forms.ChoiceField(label="The meter shows", choices=SIGNS, required=False)
    test_volts = forms.TypedChoiceField(label="Tested at", choices=VOLTS, coerce=int, required=False, empty_value=None)
    instrument = forms.ModelChoiceField(label="Instrument", queryset=Instrument.objects.none(), required=False)
    answer = forms.CharField(required=False, max_length=12)
    note = forms.CharField(label="Note", required=False, max_length=200)

    def __init__(self, *args: Any, item: Item, test_volts: int = 500, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.item = item
        if item.seen:
            for name in ("sign", "test_volts", "instrument"):
                del self.fields[name]
            return
        del self.fields["answer"]
        self._measured(item, test_volts)

    def _measured(self, item: Item, test_volts: int) -> None:
        for box in item.boxes:
            self.add(box.name, _choice(box) if box.choices else _number(box))
        self.order_fields([box.name for box in item.boxes])
        if item.measure is None:
            del self.fields["sign"]
        if item.measure is not Measure.INSULATION_MOHM:
            del self.fields["test_volts"]
        else:
            self.fields["test_volts"].initial = test_volts
        self._instruments(item)

    def _instruments(self, item: Item) -> None:
        owned = Instrument.objects.filter(kind=item.instrument.value, retired=False) if item.instrument else None
        if owned is None:
            del self.fields["instrument"]
            return
        field = self.fields["instrument"]
        field.queryset = owned.order_by("name", "pk")  # type: ignore[attr-defined]  # a ModelChoiceField
        only = list(owned.order_by("pk")[:2])
        field.initial = only[0].pk if len(only) == 1 else None

    @property
    def boxes(self) -> list[forms.BoundField]:
        """Return the boxes typed into, in order: none for a thing that is seen."""
        return [] if self.item.seen else [self[box.name] for box in self.item.boxes]

    @property
    def typed(self) -> Typed:
        """Return what the service wants."""
        values = {name: value for name, value in self.values.items() if value is not None}
        if self.item.inputs:
            values["inputs"] = {box.name: values.pop(box.name) for box in self.item.inputs}
        elif self.item.draws:
            values["series"] = tuple(values.pop(box.name) for box in self.item.boxes)
        return Typed(**values)


def _number(box: Box) -> MeasureField:
    field = MeasureField(label=box.label, error_messages=EMPTY, min_value=0, max_digits=12, decimal_places=4)
    field.widget.attrs["data-unit"] = box.unit  # the template says the unit after it
    return field


def _choice(box: Box) -> forms.ChoiceField:
    return forms.ChoiceField(label=box.label, choices=box.choices, widget=forms.RadioSelect)


class SkipForm(VersionedForm):
    """Not possible: a reason from the list, and words. Its version is that of the reading form."""

    reason = forms.ChoiceField(label="Not possible, because", choices=NotPossible.choices)
    words = forms.CharField(label="In words", max_length=150, help_text="It prints on the buyer's sheet.")

    def __init__(self, *args: Any, failed: bool = True, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if not failed:  # nothing is out of its limit: that reason is not offered
            self.fields["reason"].choices = [c for c in NotPossible.choices if c[0] != NotPossible.LEFT]  # type: ignore[attr-defined]
