"""Forms of the desk: facts of a machine, where it stands, what it waits for."""

from typing import Any

from django import forms

from workshop.core.forms import ActForm, AskingForm, DayField, MeasureField, VersionedForm
from workshop.core.models import ModelNotes
from workshop.core.words import WaitFor
from workshop.desk import learn
from workshop.desk.stations import STATIONS
from workshop.trade.safety.electrical import ApplianceClass


class MachineForm(VersionedForm):
    """Facts of one unit, from its plate and cord."""

    serial = forms.CharField(label="Serial number", max_length=40, required=False, help_text="From the plate.")
    serial_unreadable = forms.BooleanField(label="It cannot be read: I will photograph the plate", required=False)
    finish = forms.CharField(label="Finish", max_length=40, required=False)
    volts = forms.IntegerField(
        label="Volts on the plate",
        required=False,
        min_value=1,
        max_value=500,
        widget=forms.NumberInput(attrs={"data-unit": "V"}),
    )
    watts = forms.IntegerField(
        label="Watts on the plate",
        required=False,
        min_value=1,
        max_value=20000,
        widget=forms.NumberInput(attrs={"data-unit": "W"}),
    )
    appliance_class = forms.ChoiceField(label="Class", choices=[(c.value, c.label) for c in ApplianceClass])
    cord_length_m = MeasureField(
        label="Cord length",
        unit="m",
        required=False,
        min_value=0,
        max_value=50,
        max_digits=4,
        decimal_places=2,
        help_text="From plug to case, for the earth limit.",
    )
    cord_section_mm2 = MeasureField(
        label="Cord section",
        unit="mm²",
        required=False,
        min_value=0,
        max_value=10,
        max_digits=4,
        decimal_places=2,
        help_text="Printed on the cord, like 3 × 1.0.",
    )
    plug = forms.CharField(label="Plug", max_length=20, required=False)
    fuse_a = forms.IntegerField(
        label="Plug fuse", required=False, min_value=1, max_value=63, widget=forms.NumberInput(attrs={"data-unit": "A"})
    )
    date_code = forms.CharField(
        label="Made", max_length=24, required=False, help_text="As on the plate: week 31 of 2017."
    )
    cycle_count = forms.IntegerField(label="Cups counted", required=False, min_value=0, max_value=10_000_000)


class MoveForm(AskingForm, VersionedForm):
    """Where the machine stands now."""

    place = forms.CharField(
        label="It stands at",
        max_length=40,
        help_text="A shelf or a corner. A new one is added.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "places"}),
        error_messages={"required": "Say where it stands."},
    )


class PlaceForm(VersionedForm):
    """A place, new or renamed."""

    name = forms.CharField(
        label="Name of the place",
        max_length=40,
        help_text="As you say it across the bench: Shelf B, Bench left.",
        error_messages={"required": "Type what you call this place."},
    )
    holds_several = forms.BooleanField(label="It holds several machines, like a shelf", required=False)


class WaitForm(ActForm):
    """What the machine waits for."""

    station = forms.ChoiceField(label="It holds up", choices=[(s.code, s.label) for s in STATIONS])
    kind = forms.ChoiceField(label="It waits for", choices=[(k.value, k.label) for k in WaitFor])
    what = forms.CharField(label="What exactly", max_length=120, help_text="Like: a vacuum valve.")
    who = forms.CharField(label="Who moves it", max_length=60, required=False)
    look_again_on = DayField(label="Look again on", required=False)


class LearnForm(VersionedForm):
    """What a unit teaches its model notes: one box for each line that the notes do not say yet."""

    seen = forms.CharField(widget=forms.HiddenInput, required=False, max_length=32)
    chosen = forms.MultipleChoiceField(
        label="What the notes should say from now on",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Tick what the notes should learn, or go back."},
    )

    def __init__(self, *args: Any, lessons: list[learn.Lesson], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lessons = [each for each in lessons if not each.same]
        self.fields["chosen"].choices = [(each.code, each.words) for each in self.lessons]  # type: ignore[attr-defined]

    @staticmethod
    def first(notes: ModelNotes, lessons: list[learn.Lesson]) -> dict[str, Any]:
        """Return the unpressed form: what the notes do not know at all is ticked."""
        new = [each.code for each in lessons if not each.same and each.notes_say == learn.NOTHING]
        return {"version": notes.version, "seen": learn.fingerprint(lessons), "chosen": new}


class EraseForm(ActForm):
    """That a person asked to be forgotten."""

    asked = forms.BooleanField(
        label="They asked for it, and I know that it is them",
        error_messages={"required": "Say first that they asked for it: it cannot be undone."},
    )
    until_on = DayField(
        label="The book needs their name until",
        required=False,
        help_text="Only where the rule of your place was not read here: the last day, as your adviser says.",
    )


class ExportForm(ActForm):
    """Everything we hold of a person, as a file."""


class ForgetDueForm(ActForm):
    """Those whose day has come, out of the book."""
