"""Prepared rows of the Payments page."""

from dataclasses import dataclass, field

from intake.models import Purchase
from workshop.core.models import Job, Shop
from workshop.core.templatetags.measures import day, money, short_day
from workshop.pricing import balances, costs, lines
from workshop.pricing.balances import Balance
from workshop.pricing.lines import LineRow
from workshop.pricing.models import CURRENT, Payment, Sale, SaleLine
from workshop.pricing.rows import SumRow
from workshop.trade.money import rounding


@dataclass(frozen=True, slots=True)
class PaymentRow:
    """One payment as it is listed."""

    pk: int
    words: str
    told: str
    amount: str


@dataclass(frozen=True, slots=True)
class SaleBlock:
    """One sale of the machine: three figures and its payments."""

    pk: int
    title: str
    lines: list[SumRow]
    payments: list[PaymentRow]
    is_cancelled: bool
    settled: bool
    rest: str = ""  # what is to come, as the press that pays it says it; nothing when nothing is
    rest_typed: str = ""  # the same as it would be typed
    extras: list[LineRow] = field(default_factory=list)
    changes: bool = False  # extras may be added, changed and taken off: it stands, and the machine is still here


@dataclass(frozen=True, slots=True)
class SellerBlock:
    """What we paid for the machine, for the owner alone."""

    title: str
    lines: list[SumRow]
    payments: list[PaymentRow]
    is_listed: bool  # False: paid in one go, no row says otherwise
    settled: bool


@dataclass(frozen=True, slots=True)
class PaymentsPage:
    """Everything the page prints but its forms."""

    sales: list[SaleBlock]
    seller: SellerBlock | None


def payments_page(job: Job, *, shows_money: bool) -> PaymentsPage:
    """Return the sales of the machine that stand or on which money moved, newest first, and the purchase of the job."""
    shop = costs.the_shop()
    rows = balances.with_paid(Sale.objects.filter(job__machine=job.machine)).select_related("buyer")
    every = list(rows.order_by("-pk"))
    paid = _payments(every)
    sales = [sale for sale in every if not sale.cancelled_at or paid[sale.pk]]
    extras = lines.standing(sales)
    open_job_pk = None if job.closed_at else job.pk
    bought = Purchase.objects.filter(job=job).select_related("seller").first() if shows_money else None
    return PaymentsPage(
        [
            _sale_block(sale, paid.get(sale.pk, []), extras[sale.pk], shop, changes=sale.job_id == open_job_pk)
            for sale in sales
        ],
        _seller_block(bought, shop) if bought else None,
    )


def _payments(sales: list[Sale]) -> dict[int, list[Payment]]:
    found: dict[int, list[Payment]] = {sale.pk: [] for sale in sales}
    rows = Payment.objects.filter(CURRENT, sale__in=sales).select_related("by")
    for row in rows.order_by("pk"):
        if row.sale_id is not None:
            found[row.sale_id].append(row)
    return found


def _sale_block(sale: Sale, payments: list[Payment], extras: list[SaleLine], shop: Shop, *, changes: bool) -> SaleBlock:
    held = balances.of_sale(sale)
    last = SumRow("TO_COME", "To come", money(max(0, held.to_come_minor), shop), heavy=True)
    if held.to_come_minor < 0 or sale.cancelled_at:
        last = SumRow("BACK", "To give back", money(max(0, -held.to_come_minor), shop), heavy=True)
    to_come = 0 if sale.cancelled_at else max(0, held.to_come_minor)
    agreed = SumRow("AGREED", f"Agreed, {day(sale.agreed_on)}", money(sale.price_minor, shop))
    return SaleBlock(
        pk=sale.pk,
        title=f"Cancelled with {sale.buyer}" if sale.cancelled_at else f"Agreed with {sale.buyer}",
        lines=[agreed, *_with_it(held, shop), SumRow("PAID", "Paid", money(held.paid_minor, shop)), last],
        payments=[_payment_row(row, shop) for row in payments],
        is_cancelled=sale.cancelled_at is not None,
        settled=held.to_come_minor == 0,
        rest=money(to_come, shop) if to_come else "",
        rest_typed=str(rounding.from_minor(to_come, shop.currency)) if to_come else "",
        extras=lines.rows(extras, shop),
        changes=changes and sale.cancelled_at is None,
    )


def _with_it(held: Balance, shop: Shop) -> list[SumRow]:
    if not held.extras_minor:
        return []
    extras = SumRow("EXTRAS", "Extras", money(held.extras_minor, shop))
    return [extras, SumRow("ALL", "In all", money(held.price_minor + held.extras_minor, shop), heavy=True)]


def _payment_row(row: Payment, shop: Shop) -> PaymentRow:
    words = ", ".join(part for part in (row.method, row.words) if part) or "Payment"
    if row.amount_minor < 0:
        words = f"Given back: {words}"
    amount = money(row.amount_minor, shop) if row.amount_minor else ""
    return PaymentRow(row.pk, words, f"{row.by}, {short_day(row.at)}", amount)


def _seller_block(purchase: Purchase, shop: Shop) -> SellerBlock:
    rows = list(Payment.objects.filter(CURRENT, purchase=purchase).select_related("by").order_by("pk"))
    paid = sum(row.amount_minor for row in rows)
    price = money(purchase.price_minor, shop)
    lines = [SumRow("PRICE", f"Bought, {day(purchase.acquired_on)}", price)]
    if rows:
        owed = max(0, purchase.price_minor - paid)
        lines += [SumRow("PAID", "Paid", money(paid, shop)), SumRow("OWED", "We owe", money(owed, shop), heavy=True)]
    return SellerBlock(
        title=f"Bought from {purchase.seller or 'a private seller'}",
        lines=lines,
        payments=[_payment_row(row, shop) for row in rows],
        is_listed=bool(rows),
        settled=not rows or paid >= purchase.price_minor,
    )
