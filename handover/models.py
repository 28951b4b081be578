"""What was agreed and told, what was received, and the sheets issued."""

from decimal import Decimal
from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.db.models.functions import Coalesce

from handover.words import DANGERS, BuyerHas, BuyerWater, ToldBy, Trouble
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
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    cancelled_at = models.DateTimeField(null=True, blank=True)
    cancelled_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("water", BuyerWater),
            one_of("has_scale", BuyerHas),
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
    """What the buyer was told, when and how: every mark, what was left, what was not tested. Never a name in it."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="told")
    how = fields.word(ToldBy)
    marks = models.JSONField()
    left = models.JSONField()
    not_tested = models.JSONField()
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [one_of("how", ToldBy)]

    def __str__(self) -> str:
        return f"{self.get_how_display()}: {len(self.marks)} marks"


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
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return ", ".join(self.lines)


class Sheet(models.Model):
    """One issued handover sheet: frozen content, its number, and the PDF's hash. It holds no buyer."""

    append_only: ClassVar[bool] = True

    job = models.ForeignKey(Job, models.PROTECT, related_name="sheets")
    number = models.PositiveIntegerField(unique=True)
    content = models.TextField(help_text="The snapshot it was printed from.")
    sha256 = models.CharField(max_length=64)
    pages = models.PositiveSmallIntegerField()
    dated = models.BooleanField(help_text="Whether the care calendar has dates.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return f"Sheet {self.number}"


class HandedOver(models.Model):
    """The machine left with its buyer; undone until the next day by withdrawing it."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="handed_over")
    sheet = models.ForeignKey(Sheet, models.PROTECT, related_name="+")
    owed_words = models.CharField(max_length=200, blank=True, help_text="Who pays what when, if a balance is open.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [paired("withdrawn")]

    def __str__(self) -> str:
        return "Handed over"


class BuyerLink(models.Model):
    """The address of one buyer's page: what it shows, until when. It names nobody.

    The token is kept as it is: the paper and the frozen sheet carry it anyway, and a code of it must be printable
    again. What it opens is the sheet beside it in the same database.
    """

    job = models.ForeignKey(Job, models.PROTECT, related_name="buyer_links")
    sheet = models.ForeignKey(Sheet, models.PROTECT, related_name="+")
    token = models.CharField(max_length=64, unique=True)
    expires_on = models.DateField(help_text="The last day the page opens.")
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(User, models.PROTECT, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        constraints = [
            paired("withdrawn"),
            models.UniqueConstraint(
                fields=["job"], condition=Q(withdrawn_at__isnull=True), name="handover_buyer_link_one_standing"
            ),
        ]

    def __str__(self) -> str:
        return f"The buyer's page of sheet {self.sheet_id}"


class BuyerMessages(models.QuerySet["BuyerMessage"]):
    """Messages of buyers."""

    def unanswered(self) -> "BuyerMessages":
        """Return those nobody has answered, or whose answer was taken back."""
        newest = BuyerAnswer.objects.filter(message=models.OuterRef("pk")).order_by("-pk").values("words")[:1]
        answer = Coalesce(models.Subquery(newest), models.Value(""))
        return self.annotate(answer=answer).filter(answer="")

    def dangers(self) -> "BuyerMessages":
        """Return those that tell of a danger."""
        return self.filter(trouble__in=DANGERS)


class BuyerMessage(models.Model):
    """What a buyer wrote from their page. No signed-in person acts, so its own key stands in for the journal's."""

    append_only: ClassVar[bool] = True

    link = models.ForeignKey(BuyerLink, models.PROTECT, related_name="messages")
    key = models.CharField(max_length=64, unique=True)
    trouble = fields.word(Trouble)
    since = models.CharField(max_length=120)
    words = models.CharField(max_length=1000, blank=True)
    at = models.DateTimeField()

    objects = BuyerMessages.as_manager()

    class Meta:
        constraints = [one_of("trouble", Trouble)]

    def __str__(self) -> str:
        return str(self.get_trouble_display())

    @property
    def told(self) -> str:
        """What was written, in one line: what happens, since when, in which words."""
        words = f" “{self.words}”" if self.words else ""
        return f"{self}, {self.since_words}.{words}"

    @property
    def is_danger(self) -> bool:
        """Whether it is a danger: unplug and call at once."""
        return self.trouble in DANGERS

    @property
    def since_words(self) -> str:
        """Since when, with one "since", whether it was typed or not."""
        since = self.since.strip().rstrip(".")
        return f"since {since[5:].strip() if since.lower().startswith('since ') else since}"


class BuyerAnswer(models.Model):
    """That a message was answered, and how. The newest of a message counts; empty words take an answer back."""

    append_only: ClassVar[bool] = True

    message = models.ForeignKey(BuyerMessage, models.PROTECT, related_name="answers")
    words = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    def __str__(self) -> str:
        return self.words or "not answered after all"
