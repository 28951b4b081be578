"""What was written down of the seller of one machine: declaration, identity, time, signature."""

from django.db import models
from django.db.models import Q

from intake.models.purchase import Purchase
from intake.words import IdKind, SellerTax
from workshop.core import fields
from workshop.core.constraints import one_of, paired
from workshop.core.models import User


class SellerRecord(models.Model):
    """The seller's record of one purchase. `born_on` and `id_number` are the owner's to read, and never journaled."""

    purchase = models.OneToOneField(Purchase, models.PROTECT, related_name="seller_record")
    tax_status = fields.word(SellerTax, default=SellerTax.UNKNOWN)
    declared_words = models.CharField(max_length=300, blank=True)
    declared_at = models.DateTimeField(null=True, blank=True)
    declared_by = models.ForeignKey(
        User, models.PROTECT, null=True, blank=True, related_name="+", help_text="Who accepted the declaration."
    )
    id_kind = fields.word(IdKind, blank=True)
    id_last = models.CharField(max_length=6, blank=True, help_text="The last digits only.")
    id_number = models.CharField(max_length=40, blank=True, help_text="In full, where the place's rule demands it.")
    born_on = models.DateField(null=True, blank=True)
    bought_time = models.TimeField(null=True, blank=True)
    signed_on = models.DateField(null=True, blank=True, help_text="The day the seller signed the receipt.")
    accepted_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("tax_status", SellerTax),
            one_of("id_kind", IdKind, blank=True),
            paired("declared"),
            models.CheckConstraint(
                name="intake_sellerrecord_declared_in_words",
                condition=Q(declared_words="", declared_at__isnull=True)
                | (~Q(declared_words="") & Q(declared_at__isnull=False)),
                violation_error_message="A declaration has its words and its time.",
            ),
        ]

    def __str__(self) -> str:
        return f"Seller's record of {self.purchase.job.machine}"
