"""Payments of a machine: from its buyer, and, for the owner, to its seller."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from intake.models import Purchase
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job
from workshop.pricing import lines, pages_payments, services
from workshop.pricing.forms import PaymentForm, SaleLineForm, SellerPaymentForm
from workshop.pricing.models import Payment, Sale


@require_GET
def payments(request: HttpRequest, name: str) -> HttpResponse:
    """Show what was agreed, what was paid, what is to come."""
    return page(request, name)


def page(
    request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200, sale_pk: int | None = None
) -> HttpResponse:
    """Show the page, with the refused form under its own sale."""
    job, shop = http.job_of(name), http.the_shop()
    shown = pages_payments.payments_page(job, shows_money=http.person(request).is_owner)
    forms = {block.pk: PaymentForm(currency=shop.currency, auto_id=f"id_{block.pk}_%s") for block in shown.sales}
    line_forms = {block.pk: line_form(request, auto_id=f"line_{block.pk}_%s") for block in shown.sales if block.changes}
    for kind, own in ((PaymentForm, forms), (SaleLineForm, line_forms)):
        if isinstance(form, kind) and sale_pk in own:
            own[sale_pk] = form  # type: ignore[index,assignment]  # of that kind
    context = {
        "job": job,
        "page": shown,
        "blocks": [(block, forms[block.pk], line_forms.get(block.pk)) for block in shown.sales],
        "form": form,
        "seller_form": form if isinstance(form, SellerPaymentForm) else SellerPaymentForm(currency=shop.currency),
    }
    return render(request, "pricing/payments.html", context, status=status)


def line_form(request: HttpRequest, data: Any = None, **more: Any) -> SaleLineForm:
    """Return the form of an extra: its tax only under a tax scheme, its cost for the owner alone."""
    shop, owner = http.the_shop(), http.person(request).is_owner
    return SaleLineForm(data, asks_tax=lines.asks_tax(shop), asks_cost=owner, currency=shop.currency, **more)


def _answer(
    request: HttpRequest, name: str, form: ActForm, do: Any, anchor: str, sale_pk: int | None = None
) -> HttpResponse:
    to = f"{reverse('pricing:payments', args=[name])}#{anchor}"
    return http.answer(request, form, do=do, to=to, page=lambda f, status: page(request, name, f, status, sale_pk))


@require_POST
def payment_add(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Record money from a buyer."""
    job = http.job_of(name)
    sale = get_object_or_404(Sale.objects.select_related("job__machine"), pk=pk, job__machine=job.machine)
    form = PaymentForm(request.POST, currency=http.the_shop().currency, auto_id=f"id_{sale.pk}_%s")
    return _answer(
        request, name, form, lambda act: services.record_payment(act, sale, **form.values), f"sale-{pk}", sale.pk
    )


@require_POST
def payment_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take a payment back as a slip. Those to a seller are the owner's."""
    job = http.job_of(name)
    rows = Payment.objects.select_related("sale__job__machine", "purchase__job__machine")
    row = get_object_or_404(rows, pk=pk)
    if row.purchase_id:
        http.owner_only(request)
    parent = row.sale or row.purchase
    get_object_or_404(Job, pk=parent.job_id if parent else None, machine=job.machine)
    anchor = f"sale-{row.sale_id}" if row.sale_id else "seller"
    return _answer(request, name, ActForm(request.POST), lambda act: services.strike_payment(act, row), anchor)


def _purchase(job: Job) -> Purchase:
    return get_object_or_404(Purchase.objects.select_related("job__machine"), job=job)


@require_POST
def seller_owe(request: HttpRequest, name: str) -> HttpResponse:
    """Say that the seller was not paid yet."""
    http.owner_only(request)
    purchase = _purchase(http.job_of(name))
    return _answer(request, name, ActForm(request.POST), lambda act: services.owe_seller(act, purchase), "seller")


@require_POST
def seller_pay(request: HttpRequest, name: str) -> HttpResponse:
    """Record money to the seller."""
    http.owner_only(request)
    purchase = _purchase(http.job_of(name))
    form = SellerPaymentForm(request.POST, currency=http.the_shop().currency)
    return _answer(request, name, form, lambda act: services.pay_purchase(act, purchase, **form.values), "seller")
