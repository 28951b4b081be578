"""What a buyer's receipt says of one sale: the machine, each extra, what was paid, the tax that may be shown."""

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from workshop.core.models import Shop
from workshop.pricing import balances, costs, lines, sums
from workshop.pricing.models import CURRENT, Payment, Sale
from workshop.trade.money.extras import Extra, RateLine, add_up, shown
from workshop.trade.money.tax import NoRate, TaxRule, Wording, invoice_wording


@dataclass(frozen=True, slots=True)
class Receipt:
    """The receipt in figures, in minor units. `price_minor` is the machine alone; `wording` what the tax rule wants.

    Of a cancelled sale: price and extras as they were agreed, no tax, and what is still to give back below zero.
    """

    price_minor: int
    extras: tuple[tuple[str, int], ...]
    total_minor: int
    payments: tuple[tuple[date, str, int], ...]
    to_come_minor: int
    taxes: tuple[RateLine, ...]
    rule: TaxRule
    wording: Wording
    is_cancelled: bool = False


def receipt(sale: Sale, shop: Shop) -> Receipt:
    """Return the receipt of a sale as it stands now."""
    held = balances.of_sale(balances.with_paid(Sale.objects.filter(pk=sale.pk)).get())
    sold = lines.standing([sale])[sale.pk]
    rule = sums.rule_of(shop, costs.of_jobs([sale.job_id], shop)[sale.job_id])
    paid = Payment.objects.filter(CURRENT, sale=sale).order_by("pk")
    return Receipt(
        price_minor=sale.price_minor,
        extras=tuple((row.words, row.amount_minor) for row in sold),
        total_minor=sale.price_minor + sum(row.amount_minor for row in sold),
        payments=tuple((timezone.localtime(row.at).date(), row.method, row.amount_minor) for row in paid),
        to_come_minor=held.to_come_minor,
        taxes=()
        if sale.cancelled_at
        else _taxes(sale.price_minor, [row.extra for row in sold], rule, sale.agreed_on, shop),
        rule=rule,
        wording=invoice_wording(rule),
        is_cancelled=sale.cancelled_at is not None,
    )


def _taxes(price_minor: int, extras: list[Extra], rule: TaxRule, on: date, shop: Shop) -> tuple[RateLine, ...]:
    try:
        return shown(price_minor, add_up(extras, rule, on, shop.country), rule, on, shop.country)
    except NoRate:  # the rate of the day is not known: no figure rather than a guess
        return ()
