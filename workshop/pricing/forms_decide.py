"""Forms of deciding and of ending a job."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.html import format_html

from workshop.core.forms import ActForm, MeasureField, MoneyField
from workshop.pricing.services import PartLine
from workshop.trade.money.ways import OUT_OF, Outlook, Way

PART_ROWS = 8  # a machine gives a handful of parts worth keeping; smaller things go as one line. House policy.
MOST_PIECES = 1000
MINUTES_IN_AN_HOUR = 60
_ROW_NUMBERS = range(1, PART_ROWS + 1)


def as_hours(minutes: int | None) -> Decimal | None:
    """Return minutes as hours to a hundredth, as a person types them."""
    return None if minutes is None else (Decimal(minutes) / MINUTES_IN_AN_HOUR).quantize(Decimal("0.01"))


def _hours_field(label: str, **more: Any) -> MeasureField:
    return MeasureField(label=label, unit="h", min_value=0, max_value=200, max_digits=5, decimal_places=2, **more)


class ThoughtsForm(ActForm):
    """What a person thinks of a machine today: only what is still to come."""

    hours = _hours_field("Hours still to come", help_text="Until it is proved. At first, the usual hours of its model.")
    parts_minor = MoneyField(label="Parts still to come", help_text="Those in the drawer count too, at what they cost.")
    price_minor = MoneyField(label="Likely price, mended and proved")
    in_ten = forms.IntegerField(
        label="It comes right, times in 10", min_value=0, max_value=OUT_OF, help_text="Of ten like it, how many?"
    )
    strip_minor = MoneyField(label="Its parts are worth", required=False, help_text="To us, in the drawer.")
    strip_hours = _hours_field("Hours to strip it", required=False)
    pass_on_minor = MoneyField(label="It fetches as it is", required=False, help_text="Sold untested or faulty.")
    give_back_minor = MoneyField(label="The seller pays back", required=False, help_text="Empty when they will not.")

    @property
    def minutes(self) -> int:
        """Return the hours still to come in minutes."""
        return _minutes(self.cleaned_data.get("hours"))

    @property
    def outlook(self) -> Outlook:
        """Return what was typed as the trade weighs it, without the reserve: the workshop's own is added later."""
        names = ("parts_minor", "price_minor", "in_ten", "strip_minor", "pass_on_minor", "give_back_minor")
        return Outlook(
            minutes=self.minutes,
            strip_minutes=_minutes(self.cleaned_data.get("strip_hours")),
            **{name: self.cleaned_data[name] for name in names},
        )


def _minutes(typed: Decimal | None) -> int:
    return round(typed * MINUTES_IN_AN_HOUR) if typed else 0


class _Choice(forms.Form):
    way = forms.ChoiceField(
        label="Which way", choices=[(way.value, way.label) for way in Way], widget=forms.RadioSelect
    )
    because = forms.CharField(label="Because", max_length=200, help_text="In a sentence, for whoever asks next month.")


class DecideForm(_Choice, ThoughtsForm):
    """The thoughts, and the way chosen with its reason."""

    field_order = [*ThoughtsForm.base_fields]


class ReturnForm(_Choice, ActForm):
    """The choice for a machine that came back: nothing is weighed, for it goes home to its buyer."""

    hours = _hours_field("Hours still to come")
    field_order = ["key", "hours"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        # It is the buyer's: neither its parts nor the machine are ours to sell.
        ways = [(way.value, way.label) for way in (Way.MEND, Way.GIVE_BACK)]
        self.fields["way"].choices = ways  # type: ignore[attr-defined]  # a ChoiceField

    @property
    def minutes(self) -> int:
        """Return the hours still to come in minutes."""
        return _minutes(self.cleaned_data.get("hours"))


def _of(words: str, n: int) -> str:
    """Return a short label whose part is heard, not seen: the line shows it already."""
    return format_html('{}<span class="hidden"> of part {}</span>', words, n)


class StripForm(ActForm):
    """What came out of a machine: a part, its pieces, and what one is worth."""

    words = forms.CharField(
        label="In words",
        max_length=200,
        required=False,
        help_text="Needed when nothing is kept, when the parts are stated above what the machine cost, "
        "or when it belongs to a buyer.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for n in _ROW_NUMBERS:
            named = forms.TextInput(attrs={"list": "drawer"})
            self.add(f"part_{n}", forms.CharField(label=f"Part {n}", max_length=80, required=False, widget=named))
            pieces = forms.IntegerField(label=_of("Pieces", n), min_value=1, max_value=MOST_PIECES, required=False)
            self.add(f"qty_{n}", pieces)
            self.add(f"one_{n}", MoneyField(label=_of("One is worth", n), required=False))

    @property
    def part_rows(self) -> list[tuple[forms.BoundField, forms.BoundField, forms.BoundField]]:
        """Return the boxes of each line."""
        return [(self[f"part_{n}"], self[f"qty_{n}"], self[f"one_{n}"]) for n in _ROW_NUMBERS]

    def clean(self) -> dict[str, Any]:
        """Refuse a line that is only half filled."""
        cleaned = super().clean()
        for n in _ROW_NUMBERS:
            self._check_line(cleaned, n)
        return cleaned

    def _check_line(self, cleaned: dict[str, Any], n: int) -> None:
        asked = {
            f"part_{n}": "Name the part, or empty this line.",
            f"qty_{n}": "How many pieces? Type a number, or empty this line.",
            f"one_{n}": "What is one worth to us? Type 0 when nothing.",
        }
        given = [name for name in asked if cleaned.get(name) not in (None, "")]
        for name, sentence in asked.items():
            if given and name not in given and name not in self.errors:
                self.add_error(name, sentence)

    @property
    def lines(self) -> list[PartLine]:
        """Return the lines that are filled."""
        get = self.cleaned_data.get
        rows = ((get(f"part_{n}"), get(f"qty_{n}"), get(f"one_{n}")) for n in _ROW_NUMBERS)
        return [PartLine(name, qty or 0, one or 0) for name, qty, one in rows if name]


class ScrapForm(ActForm):
    """Why it is scrapped, and that nobody can plug it in again."""

    words = forms.CharField(label="Why", max_length=200, help_text="Like: boiler split, no spare boiler to be had.")
    taken_to = forms.CharField(label="Where it goes", max_length=80, required=False, help_text="Like: the metal yard.")
    cord_cut = forms.BooleanField(label="The cord is cut off close to the case", required=False)


class GiveBackForm(ActForm):
    """What is paid back when a machine goes back to its seller."""

    refund_minor = MoneyField(label="The seller paid back")
    owed_words = forms.CharField(label="If that is not all: who pays the rest when", max_length=200, required=False)
    words = forms.CharField(label="Why it goes back", max_length=200)


class GiveHomeForm(ActForm):
    """What is said when a machine that came back goes home to its buyer."""

    words = forms.CharField(label="What was done, or why nothing was", max_length=200)
    untested_words = forms.CharField(
        label="If it was not proved again: why it goes home like this",
        max_length=200,
        required=False,
        help_text="Like: at the buyer's wish, their own repairer looks at it. The paper you give along prints it.",
    )


class KeepForm(ActForm):
    """Why the workshop keeps a machine."""

    words = forms.CharField(label="Why it is kept", max_length=200, help_text="Like: for our own counter.")
