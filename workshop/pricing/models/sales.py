"""What was agreed with a buyer, and what was paid."""

from typing import ClassVar

from django.db import models
from django.db.models import F, Q

from intake.models import Purchase
from workshop.core import fields
from workshop.core.constraints import at_least, paired
from workshop.core.models import Job, Person, User

# Cancelled after the machine had left: the buyer took it, so what they wrote is theirs, and it comes back from them.
CANCELLED_LATER = Q(cancelled_at__gt=F("job__closed_at"))
TOOK_IT = Q(cancelled_at__isnull=True) | CANCELLED_LATER


class Sale(models.Model):
    """What was agreed with a buyer. One stands for each job; a cancelled one keeps its payments."""

    job = models.ForeignKey(Job, models.PROTECT, related_name="sales")
    buyer = models.ForeignKey(Person, models.PROTECT, related_name="sales")
    price_minor = fields.money(null=False)
    agreed_on = models.DateField()
    cancelled_at = models.DateTimeField(null=True, blank=True)
    cancelled_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    settled = models.BooleanField(default=False, help_text="Nothing is to come and nothing to give back: see Owed.")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        indexes = [models.Index(fields=["agreed_on"], condition=Q(settled=False), name="pricing_sale_unsettled")]
        constraints = [
            at_least("price_minor", 0),
            paired("cancelled"),
            models.UniqueConstraint(
                fields=["job"], condition=Q(cancelled_at__isnull=True), name="pricing_sale_one_standing_a_job"
            ),
        ]

    def __str__(self) -> str:
        return f"Sale of {self.job.machine}"


class Payment(models.Model):
    """Money that changed hands: from a buyer (a refund is below zero), or from us to a seller.

    A row of nothing on a purchase says that it is not paid in full yet; without any row it is.
    """

    append_only: ClassVar[bool] = True

    sale = models.ForeignKey(Sale, models.PROTECT, null=True, blank=True, related_name="payments")
    purchase = models.ForeignKey(Purchase, models.PROTECT, null=True, blank=True, related_name="payments")
    amount_minor = fields.money(null=False)
    method = models.CharField(max_length=40, blank=True)
    words = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    corrects = models.OneToOneField("self", models.PROTECT, null=True, blank=True, related_name="corrected_by")
    struck = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="pricing_payment_of_a_sale_or_a_purchase",
                condition=Q(sale__isnull=False, purchase__isnull=True) | Q(sale__isnull=True, purchase__isnull=False),
                violation_error_message="A payment belongs to a sale or to a purchase.",
            ),
            models.CheckConstraint(
                name="pricing_payment_of_a_sale_is_not_nothing",
                condition=Q(sale__isnull=True) | ~Q(amount_minor=0),
                violation_error_message="A payment of nothing says nothing.",
            ),
        ]

    def __str__(self) -> str:
        return self.words or self.method or "Payment"
