"""What is sold beside the machine: a tamper, coffee, delivery."""

from django.db import models
from django.db.models import Q

from workshop.core import fields
from workshop.core.constraints import at_least, one_of, paired
from workshop.core.models import User
from workshop.pricing.models.sales import Sale
from workshop.trade.money.extras import Extra, ExtraTax


class SaleLine(models.Model):
    """One extra of a sale, under its own tax rule. Taken off by a mark, never deleted."""

    sale = models.ForeignKey(Sale, models.PROTECT, related_name="lines")
    words = models.CharField(max_length=80)
    amount_minor = fields.money(null=False, help_text="What the buyer pays, tax inside.")
    tax = fields.word(ExtraTax, default=ExtraTax.NONE.value)
    rate_percent = fields.decimal(5, 2, help_text="Only for another rate than the standard one.")
    cost_minor = fields.money(null=False, default=0, help_text="What it cost us, without tax we take back.")
    is_service = models.BooleanField(default=False, help_text="Delivery, a lesson: nothing to count or to pack.")
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.ForeignKey(User, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            one_of("tax", ExtraTax),
            at_least("amount_minor", 0),
            at_least("cost_minor", 0),
            at_least("rate_percent", 0),
            paired("struck"),
            models.CheckConstraint(
                name="pricing_saleline_another_rate_has_its_rate",
                condition=Q(tax=ExtraTax.OTHER.value, rate_percent__isnull=False)
                | (~Q(tax=ExtraTax.OTHER.value) & Q(rate_percent__isnull=True)),
                violation_error_message="Another rate wants its rate, and only another rate has one.",
            ),
        ]

    def __str__(self) -> str:
        return self.words

    @property
    def extra(self) -> Extra:
        """The line as the trade sums it."""
        return Extra(self.amount_minor, ExtraTax(self.tax), self.rate_percent, self.cost_minor)
