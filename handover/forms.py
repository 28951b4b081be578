"""Forms of handing over."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator

from handover import goods
from handover.label_grid import Grid
from handover.services import NewReservation
from handover.sheet import PrintSize
from handover.words import BuyerHas, BuyerWater, CoffeeKind, GoesBy, Language, SoldHow, ToldBy
from workshop.core.forms import ActForm, DayField, MeasureField, MoneyField, VersionedForm
from workshop.core.words import Paper

PRINT_SIZES = (
    (PrintSize.USUAL.value, "Usual, two pages where it fits"),
    (PrintSize.LARGE.value, "Large print, as many pages as it takes"),
)


class TellForm(ActForm):
    """How the buyer was told."""

    how = forms.ChoiceField(
        label="They were told", choices=[(how.value, how.label) for how in ToldBy if how is not ToldBy.LINK]
    )


class ToldLinkForm(ActForm):
    """An address for a buyer to read before agreeing."""

    language = forms.ChoiceField(label="They read", choices=Language.choices, initial=Language.EN)


class _Use(forms.Form):
    sold_how = forms.TypedChoiceField(
        label="Agreed",
        choices=SoldHow.choices,
        initial=SoldHow.PERSON,
        required=False,
        empty_value=SoldHow.PERSON,
        help_text="At a distance the law of many places lets them cancel for some days.",
    )
    goes_by = forms.TypedChoiceField(
        label="How it gets there",
        choices=GoesBy.choices,
        initial=GoesBy.COLLECTED,
        required=False,
        empty_value=GoesBy.COLLECTED,
    )
    collect_on = DayField(
        label="Collects on",
        required=False,
        help_text="Dates the care calendar.",
    )
    agreed = forms.CharField(
        label="Agreed, in words", required=False, max_length=600, widget=forms.Textarea(attrs={"rows": 3})
    )
    drinks_per_day = MeasureField(
        label="Drinks a day", min_value=0, max_value=200, max_digits=4, decimal_places=1, initial=Decimal(4)
    )
    milk_drinks_per_day = MeasureField(
        label="Of these with milk", min_value=0, max_value=200, max_digits=4, decimal_places=1, initial=Decimal(1)
    )
    water = forms.ChoiceField(label="Their water", choices=BuyerWater.choices, initial=BuyerWater.UNKNOWN)
    hardness_mg_l = MeasureField(
        label="Hardness, if measured",
        unit="mg/L",
        required=False,
        min_value=0,
        max_value=2000,
        max_digits=6,
        decimal_places=1,
        help_text="As calcium carbonate.",
    )
    strip_fields = forms.IntegerField(
        label="Coloured fields on the strip",
        required=False,
        min_value=1,
        max_value=4,
        help_text="1 to 4, of the usual strip of four. Planned for the hard end of what it says.",
    )
    has_scale = forms.ChoiceField(label="They have a kitchen scale", choices=BuyerHas.choices, initial=BuyerHas.UNKNOWN)
    has_grinder = forms.ChoiceField(
        label="They have a grinder of their own", choices=BuyerHas.choices, initial=BuyerHas.UNKNOWN
    )
    coffee_kind = forms.ChoiceField(
        label="Their coffee",
        choices=CoffeeKind.choices,
        initial=CoffeeKind.UNKNOWN,
        help_text="The sheet speaks to their scale, their grinder and their coffee.",
    )
    language = forms.TypedChoiceField(
        label="They read",
        choices=Language.choices,
        initial=Language.EN,
        required=False,
        empty_value=Language.EN,
        help_text="Sheet, page and calendar speak it. What you typed prints as you typed it.",
    )


def _check_use(form: forms.Form, cleaned: dict[str, Any]) -> None:
    if cleaned.get("water") == BuyerWater.MEASURED and cleaned.get("hardness_mg_l") is None:
        form.add_error("hardness_mg_l", "Type the hardness that was measured, or choose another answer.")
    if cleaned.get("water") == BuyerWater.STRIP and cleaned.get("strip_fields") is None:
        form.add_error("strip_fields", "Count the coloured fields of the strip, 1 to 4, or choose another answer.")
    drinks, milk = cleaned.get("drinks_per_day"), cleaned.get("milk_drinks_per_day")
    if drinks is not None and milk is not None and milk > drinks:
        form.add_error("milk_drinks_per_day", "More milk drinks than drinks. Check both.")


class ReservationForm(_Use, ActForm):
    """Who takes it, for how much, when, and how they will use it."""

    buyer_name = forms.CharField(label="Buyer", max_length=120)
    buyer_phone = forms.CharField(label="Their phone", max_length=40, required=False)
    price_minor = MoneyField(label="Price agreed")
    field_order = ["buyer_name", "buyer_phone", "price_minor"]

    def clean(self) -> dict[str, Any]:
        """Refuse answers that contradict each other."""
        cleaned = super().clean()
        _check_use(self, cleaned)
        return cleaned

    @property
    def new(self) -> NewReservation:
        """Return what the service wants."""
        return NewReservation(**self.values)


class ReservationChangeForm(_Use, VersionedForm):
    """The day, the words and the use; price and buyer are agreed anew by cancelling first."""

    def clean(self) -> dict[str, Any]:
        """Refuse answers that contradict each other."""
        cleaned = super().clean()
        _check_use(self, cleaned)
        return cleaned


class NewSinceForm(ActForm):
    """Anything new since the buyer was told?"""

    nothing = forms.BooleanField(required=False, widget=forms.HiddenInput)
    words = forms.CharField(
        label="What is new",
        max_length=200,
        required=False,
        help_text="Like: the tank's lid cracked on the way. The buyer is told, and the sheet says so.",
    )

    def clean(self) -> dict[str, Any]:
        """Want words, or the press that says nothing is new."""
        cleaned = super().clean()
        if not cleaned.pop("nothing", False) and not cleaned.get("words") and not self.errors:
            self.add_error("words", "Type what is new, or press that nothing is.")
        return cleaned


class AnsweredForm(ActForm):
    """How a buyer's message was answered."""

    words = forms.CharField(
        label="How it was answered",
        max_length=250,
        help_text="Like: called them, it is unplugged, they bring it on Friday.",
        error_messages={"required": "Say how it was answered, in a few words."},
    )


class ReceivedForm(ActForm):
    """What goes with the machine, one a line."""

    lines = forms.CharField(
        label="It goes with",
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text="One thing a line, several with their number: 2 × double basket, 58 mm.",
    )

    def clean_lines(self) -> list[str]:
        """Return the lines that say something; refuse more than a list holds, and a number that counts nothing."""
        lines = goods.lines(self.cleaned_data["lines"])
        if len(lines) > goods.MOST:
            raise ValidationError(f"These are {len(lines)} lines. Keep it to {goods.MOST}: put small things into one.")
        for line in lines:
            if said := goods.miscounted(line):
                raise ValidationError(said)
        return lines


class IssueForm(ActForm):
    """Issue the sheet."""

    paper = forms.ChoiceField(label="Paper", choices=Paper.choices)
    language = forms.ChoiceField(
        label="Language",
        choices=Language.choices,
        initial=Language.EN,
        required=False,
        help_text="Once it is reserved, the buyer's own counts. What you typed prints as you typed it.",
    )
    size = forms.ChoiceField(label="Print", choices=PRINT_SIZES, initial=PrintSize.USUAL, required=False)

    def clean_size(self) -> str:
        """Take the usual print where nobody chose."""
        return self.cleaned_data["size"] or PrintSize.USUAL.value


class HandOverForm(ActForm):
    """The act itself."""

    owed_words = forms.CharField(label="If a balance stays open: who pays what when", max_length=200, required=False)


class RenewLinkForm(VersionedForm):
    """A new address for the buyer's page; its version is the address that stood on the page, 0 for none."""


class WithdrawLinkForm(ActForm):
    """The buyer's page withdrawn."""


class TagsForm(forms.Form):
    """Which tags to print on sheets of labels, and where to begin."""

    use_required_attribute = False
    machines = forms.MultipleChoiceField(label="Machines", required=False, widget=forms.CheckboxSelectMultiple)
    places = forms.MultipleChoiceField(label="Places", required=False, widget=forms.CheckboxSelectMultiple)
    first = forms.IntegerField(
        label="First free label",
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={"required": "Type 1 for a whole sheet, or the number of the first label that is left."},
    )
    lines = forms.BooleanField(label="Thin lines to cut along, for plain paper", required=False)

    def __init__(
        self, *args: Any, machines: list[tuple[str, str]], places: list[tuple[str, str]], grid: Grid, **kwargs: Any
    ) -> None:
        kwargs.setdefault("auto_id", "tags-%s")
        super().__init__(*args, **kwargs)
        self.fields["machines"].choices = machines  # type: ignore[attr-defined]  # a MultipleChoiceField
        self.fields["places"].choices = places  # type: ignore[attr-defined]  # a MultipleChoiceField
        first = self.fields["first"]
        inside = f"A sheet holds {grid.holds} labels. Type a number from 1 to {grid.holds}."
        first.validators += [MinValueValidator(1, inside), MaxValueValidator(grid.holds, inside)]
        first.help_text = f"Counted along the rows. A sheet holds {grid.holds}: {grid.across} across, {grid.down} down."

    def clean(self) -> dict[str, Any]:
        """Want at least one tag."""
        cleaned = super().clean() or self.cleaned_data
        chosen = [*cleaned.get("machines", []), *cleaned.get("places", [])]
        if not chosen and not self.errors.get("machines") and not self.errors.get("places"):
            self.add_error("machines", "Choose at least one machine or place.")
        return cleaned
