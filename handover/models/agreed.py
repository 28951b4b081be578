"""What was agreed with a buyer, what they were told, and what they received."""

from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import Q

from handover.words import BuyerHas, BuyerWater, CoffeeKind, GoesBy, Language, SoldHow, ToldBy
from workshop.core import fields
from workshop.core.constraints import at_least, one_of, paired
from workshop.core.models import Job, Person, User
from workshop.pricing.models import Sale


class Reservation(models.Model):
    """What was agreed with a buyer besides the price: the day, the words, how they will use the machine."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="reservations")
    sale = models.OneToOneField(Sale, models.PROTECT, related_name="reservation")
    buyer = models.ForeignKey(Person, models.PROTECT, related_name="reservations")
    collect_on = models.DateField(null=True, blank=True)
    agreed = models.TextField(blank=True, help_text="In words, as promised.")
    drinks_per_day = fields.decimal(4, 1, null=False, default=Decimal(4))
    milk_drinks_per_day = fields.decimal(4, 1, null=False, default=Decimal(1))
    water = fields.word(BuyerWater, default=BuyerWater.UNKNOWN)
    hardness_mg_l = fields.decimal(6, 1, help_text="As calcium carbonate, where measured.")
    strip_fields = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="Coloured fields of a test strip, 1 to 4."
    )
    has_scale = fields.word(BuyerHas, default=BuyerHas.UNKNOWN)
    has_grinder = fields.word(BuyerHas, default=BuyerHas.UNKNOWN)
    coffee_kind = fields.word(CoffeeKind, default=CoffeeKind.UNKNOWN)
    language = fields.word(Language, default=Language.EN)
    sold_how = fields.word(SoldHow, default=SoldHow.PERSON)
    goes_by = fields.word(GoesBy, default=GoesBy.COLLECTED)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    cancelled_at = models.DateTimeField(null=True, blank=True)
    cancelled_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("water", BuyerWater),
            one_of("has_scale", BuyerHas),
            one_of("has_grinder", BuyerHas),
            one_of("coffee_kind", CoffeeKind),
            one_of("language", Language),
            one_of("sold_how", SoldHow),
            one_of("goes_by", GoesBy),
            paired("made"),
            paired("cancelled"),
            at_least("drinks_per_day", 0),
            models.UniqueConstraint(
                fields=["job"], condition=Q(cancelled_at__isnull=True), name="handover_reservation_one_standing"
            ),
        ]

    def __str__(self) -> str:
        return f"Reserved for {self.buyer}"


class Told(models.Model):
    """What the buyer was told, when and how: every mark, what was left, what was not tested. Never a name in it.

    Read at an address, nobody signed in acts: `by` is empty and the address itself makes it one record.
    """

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="told")
    how = fields.word(ToldBy)
    marks = models.JSONField()
    left = models.JSONField()
    not_tested = models.JSONField()
    link = models.OneToOneField("handover.ToldLink", models.PROTECT, null=True, blank=True, related_name="told")
    by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("how", ToldBy),
            models.CheckConstraint(
                name="handover_told_by_somebody_or_read_at_a_link",
                condition=Q(how=ToldBy.LINK, link__isnull=False, by__isnull=True)
                | (~Q(how=ToldBy.LINK) & Q(link__isnull=True, by__isnull=False)),
                violation_error_message="Either somebody told the buyer, or the buyer read it at an address.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_how_display()}: {len(self.marks)} {'mark' if len(self.marks) == 1 else 'marks'}"


class NewSince(models.Model):
    """The answer to "anything new since?" on the day of handing over; empty words mean nothing new."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="new_since")
    words = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return self.words or "nothing new"


class Received(models.Model):
    """What goes with the machine, counted with the buyer. The newest list counts."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="received")
    lines = models.JSONField()
    offered = models.JSONField(null=True, blank=True, help_text="What was there to be counted; empty: not kept then.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return ", ".join(self.lines)
