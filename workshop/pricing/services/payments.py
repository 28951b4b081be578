"""Writers of payments, from buyers and to sellers. Payments may follow a job that has ended: a balance can be owed."""

from collections.abc import Callable

from django.db.models import Sum

from intake.models import Purchase
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Shop
from workshop.core.templatetags.measures import money
from workshop.core.words import Area
from workshop.pricing import balances, costs
from workshop.pricing.models import CURRENT, Payment, Sale
from workshop.trade.money import rounding

# What the rooms above want before the first money of a sale: each returns why not, or nothing. Hand over wants the
# buyer told first.
BEFORE_A_DEPOSIT: list[Callable[[Job], str]] = []


def record_payment(act: Act, sale: Sale, amount_minor: int, method: str, words: str = "") -> JournalEntry:
    """Record money from a buyer; below zero is a refund.

    :raises Refused: see `take_payment`; before the first money, when a room above wants something first
    """
    with acts.once(act):
        if amount_minor > 0 and not sale.job.closed_at and not _paid_by_buyer(sale):
            _refuse_deposit(sale.job)
        row = take_payment(act, sale, amount_minor, method, words)
        what = "Paid back to the buyer" if amount_minor < 0 else "Paid by the buyer"
        return _write(act, "record_payment", f"{what}: {money(abs(amount_minor), costs.the_shop())}", row, sale.job)


def take_payment(act: Act, sale: Sale, amount_minor: int, method: str, words: str = "") -> Payment:
    """Record money from a buyer inside the caller's act (a deposit, the balance at hand over).

    :raises Refused: an amount of nothing, more than is to come, or a refund of more than was paid
    """
    shop = costs.the_shop()
    Sale.objects.select_for_update().get(pk=sale.pk)
    held = balances.of_sale(balances.with_paid(Sale.objects.filter(pk=sale.pk)).get())
    if amount_minor == 0:
        raise Refused("An amount of nothing is no payment.", field="amount_minor")
    if amount_minor > max(0, held.to_come_minor):
        raise Refused(_too_much(amount_minor, held, shop), field="amount_minor")
    if -amount_minor > max(0, held.paid_minor):
        only = money(max(0, held.paid_minor), shop)
        raise Refused(f"Only {only} was paid, so no more can be given back.", field="amount_minor")
    row = Payment.objects.create(sale=sale, amount_minor=amount_minor, method=method, words=words, by=act.by, at=act.at)
    balances.settle(sale)
    return row


def _refuse_deposit(job: Job) -> None:
    if reasons := [words for asks in BEFORE_A_DEPOSIT if (words := asks(job))]:
        raise Refused(*reasons)


def _too_much(amount_minor: int, held: balances.Balance, shop: Shop) -> str:
    if held.to_come_minor > 0:
        return f"Only {money(held.to_come_minor, shop)} is to come. Check the figures."
    if held.paid_minor <= 0:
        return "Nothing is to come, and nothing is paid that could be given back."
    typed = rounding.from_minor(-min(amount_minor, held.paid_minor), shop.currency)
    return f"Nothing is to come. Money you give back is typed below zero, like {typed}."


def owe_seller(act: Act, purchase: Purchase) -> JournalEntry:
    """Say that the seller was not paid yet: a row of nothing opens the purchase. :raises Refused: if open already."""
    with acts.once(act):
        Purchase.objects.select_for_update().get(pk=purchase.pk)
        if Payment.objects.filter(CURRENT, purchase=purchase).exists():
            raise Refused("Its payments are listed already. Take back what is wrong there.")
        row = Payment.objects.create(purchase=purchase, amount_minor=0, words="Not paid yet", by=act.by, at=act.at)
        return _write(act, "owe_seller", f"The seller of {purchase.job.machine} is not paid yet", row, purchase.job)


def pay_purchase(act: Act, purchase: Purchase, amount_minor: int, method: str, words: str = "") -> JournalEntry:
    """Record money to a seller. The first row says that the price was not paid in one go.

    :raises Refused: an amount of nothing or below, or more than is owed
    """
    with acts.once(act):
        shop = costs.the_shop()
        locked = Purchase.objects.select_for_update().get(pk=purchase.pk)
        owed = locked.price_minor - paid_to_seller(purchase)
        if amount_minor <= 0:
            raise Refused("Type an amount above zero.", field="amount_minor")
        if amount_minor > owed:
            raise Refused(f"Only {money(max(0, owed), shop)} is owed. Check the figures.", field="amount_minor")
        row = Payment.objects.create(
            purchase=purchase, amount_minor=amount_minor, method=method, words=words, by=act.by, at=act.at
        )
        return _write(act, "pay_purchase", f"Paid to the seller: {money(amount_minor, shop)}", row, purchase.job)


def paid_to_seller(purchase: Purchase) -> int:
    """Return what the rows of a purchase say was paid, in minor units (nothing where it has no row)."""
    rows = Payment.objects.filter(CURRENT, purchase=purchase)
    return rows.aggregate(paid=Sum("amount_minor"))["paid"] or 0


def paid_so_far(purchase: Purchase) -> int:
    """Return what the seller has been paid: the whole price, unless its payments are listed."""
    listed = Payment.objects.filter(CURRENT, purchase=purchase).exists()
    return paid_to_seller(purchase) if listed else purchase.price_minor


def strike_payment(act: Act, payment: Payment) -> JournalEntry:
    """Take a payment back as a slip: a row that names it.

    :raises Refused: if done before, if a refund rests on it, or by another than the owner for a purchase
    """
    with acts.once(act):
        job = _job(payment)
        if payment.purchase_id and not act.by.is_owner:
            raise Refused("Only the owner of the workshop may take this back.")
        Job.objects.select_for_update().only("pk").get(pk=job.pk)
        if payment.struck or Payment.objects.filter(corrects=payment).exists():
            raise Refused("This payment was taken back already.")
        if payment.sale and _paid_by_buyer(payment.sale) < payment.amount_minor:
            raise Refused("A refund rests on this payment. Take the refund back first.")
        row = Payment.objects.create(
            sale=payment.sale,
            purchase=payment.purchase,
            amount_minor=payment.amount_minor,
            method=payment.method,
            words=payment.words,
            by=act.by,
            at=act.at,
            corrects=payment,
            struck=True,
        )
        if payment.sale:
            balances.settle(payment.sale)
        amount = money(payment.amount_minor, costs.the_shop())
        return _write(act, "strike_payment", f"Took back the payment of {amount}", row, job)


def _paid_by_buyer(sale: Sale) -> int:
    return balances.of_sale(balances.with_paid(Sale.objects.filter(pk=sale.pk)).get()).paid_minor


def _job(payment: Payment) -> Job:
    parent = payment.sale or payment.purchase
    if parent is None:
        raise Refused("This payment belongs to nothing.")
    return parent.job


def _write(act: Act, verb: str, sentence: str, row: Payment, job: Job) -> JournalEntry:
    after = {"amount_minor": row.amount_minor, "method": row.method}
    return acts.write(act, verb, sentence, row, job=job, area=Area.MONEY, after=after)
