"""What every template may say: the workshop, and whether tax is spoken of at all."""

from typing import Any

from django.http import HttpRequest
from django.utils.functional import SimpleLazyObject

from workshop.core.models import Shop
from workshop.trade.money.tax import TaxRule


def shop(request: HttpRequest) -> dict[str, Any]:
    """Return the workshop (one query, only on pages that use it)."""
    return {
        "shop": SimpleLazyObject(lambda: Shop.objects.filter(pk=1).first()),
        "TAX_NONE": TaxRule.NONE.value,
    }
