"""Several machines bought for one price."""

from django.db import models

from workshop.core import fields
from workshop.core.constraints import at_least, one_of
from workshop.core.models import User
from workshop.trade.money.lots import LotRule


class Lot(models.Model):
    """One price paid for several machines. Each purchase of it keeps its weight; the shares sum to the price."""

    price_minor = fields.money(null=False)
    rule = fields.word(LotRule)
    by = models.ForeignKey(User, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [one_of("rule", LotRule), at_least("price_minor", 0)]

    def __str__(self) -> str:
        return f"Lot {self.pk}"
