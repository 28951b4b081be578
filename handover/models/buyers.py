"""The buyer's page: its address, what a buyer wrote, how it was answered."""

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.db.models.functions import Coalesce

from handover.models.sheets import Sheet
from handover.words import DANGERS, Trouble
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import Job, User


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
