"""Parts and their movements. The drawer's count and value are derived from the last movement of each part."""

from typing import ClassVar

from django.db import models
from django.db.models import OuterRef, Q, Subquery

from workshop.core import fields
from workshop.core.models import Job, User


class PartQuerySet(models.QuerySet["Part"]):
    """Parts as the drawer shows them."""

    def for_drawer(self) -> "PartQuerySet":
        """Add what is on hand and what it is worth, from each part's last movement."""
        last = Movement.objects.filter(part=OuterRef("pk")).order_by("-seq")
        return self.annotate(
            on_hand=Subquery(last.values("on_hand_after")[:1]),
            value_minor=Subquery(last.values("value_after_minor")[:1]),
        ).order_by("name", "pk")


class Part(models.Model):
    """A thing kept in the drawer: a seal, a pump, a valve."""

    name = models.CharField(max_length=80, unique=True)
    size = models.CharField(max_length=60, blank=True)
    material = models.CharField(max_length=40, blank=True)
    supplier = models.CharField(max_length=80, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = PartQuerySet.as_manager()

    def __str__(self) -> str:
        return self.name


class Movement(models.Model):
    """Parts going in or out, with what was on hand and what it was worth afterwards (average cost)."""

    append_only: ClassVar[bool] = True

    part = models.ForeignKey(Part, models.PROTECT, related_name="movements")
    seq = models.PositiveIntegerField()
    qty = models.IntegerField(help_text="In is positive, out is negative.")
    value_minor = fields.money(null=False, help_text="What this movement is worth, with the sign of qty.")
    on_hand_after = models.IntegerField()
    value_after_minor = fields.money(null=False)
    job = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="movements")
    reason = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["part", "seq"], name="parts_movement_part_seq_once"),
            models.CheckConstraint(
                name="parts_movement_below_zero_wants_a_reason",
                condition=Q(on_hand_after__gte=0) | ~Q(reason=""),
                violation_error_message="Taking more than the drawer holds wants a reason.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.qty:+d} {self.part}"
