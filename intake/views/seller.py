"""The seller's record, the receipt both sign, and "same person as before?"."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_POST

from intake import receipt_page, services
from intake.forms.seller import SellerRecordForm
from intake.models import Purchase, SellerRecord
from intake.seller_record import STANDARD_WORDS, margin_doubt, wanted
from intake.views import intake
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job, Person, Shop, User
from workshop.trade.money.rules import TaxRule
from workshop.trade.safety.records import asked, rules_for


def seller_record(request: HttpRequest, name: str) -> HttpResponse:
    """Keep what the place asks of the seller: a person's private data, so the owner's alone."""
    http.owner_only(request)
    job, shop = http.job_of(name), http.the_shop()
    purchase = _purchase(job)
    record = services.record_of(purchase)
    how = _how(shop, purchase)
    if request.method != "POST":
        return _page(request, shop, purchase, SellerRecordForm(initial=_initial(request, purchase, record), **how), 200)
    form = SellerRecordForm(request.POST, **how)
    return http.answer(
        request,
        form,
        do=lambda act: services.save_seller_record(act, shop, purchase, form.seen_version, form.values),
        to=intake.page_url(name, "purchase"),
        page=lambda f, status: _page(request, shop, purchase, f, status),
    )


def _how(shop: Shop, purchase: Purchase) -> dict[str, Any]:
    return {
        "asks": asked(rules_for(shop.country, TaxRule(purchase.tax_rule))),
        "is_taxed": purchase.tax_rule != TaxRule.NONE,
        "people": User.objects.filter(is_active=True).order_by("first_name", "pk"),
    }


def _initial(request: HttpRequest, purchase: Purchase, record: SellerRecord) -> dict[str, Any]:
    seller = purchase.seller
    columns = {name: getattr(record, name) for name in SellerRecordForm.base_fields if hasattr(record, name)}
    return {
        **columns,
        "address": seller.address if seller else "",
        "phone": seller.phone if seller else "",
        "declared": bool(record.declared_words),
        "declared_words": record.declared_words or STANDARD_WORDS,
        "accepted_by": record.accepted_by or (http.person(request) if record.pk is None else None),
    }


def _page(request: HttpRequest, shop: Shop, purchase: Purchase, form: ActForm, status: int) -> HttpResponse:
    record = services.record_of(purchase)
    context = {
        "job": purchase.job,
        "form": form,
        "rules": wanted(shop, purchase, record),
        "doubt": margin_doubt(purchase, record),
        "declared": record if record.declared_words else None,
        "back": intake.page_url(purchase.job.machine.slug, "purchase"),
    }
    return render(request, "intake/seller_record.html", context, status=status)


def _purchase(job: Job) -> Purchase:
    rows = Purchase.objects.select_related("seller", "lot", "job__machine__notes", "job__machine__place")
    return get_object_or_404(rows, job=job)


@require_POST
def seller_same(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Say that the seller is a person bought from before: of this machine, or of its whole lot (`lot`)."""
    http.owner_only(request)
    purchase = _purchase(http.job_of(name))
    mates = services.lot_mates(purchase) if "lot" in request.POST else []
    person = get_object_or_404(Person.objects.filter(purchases__isnull=False).distinct(), pk=pk)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.use_seller(act, purchase, purchase.version, person, mates=mates),
        to=intake.page_url(name, "purchase"),
        page=lambda form, status: intake.page(request, name, form, status),
    )


@require_GET
def purchase_receipt(request: HttpRequest, name: str) -> HttpResponse:
    """Show the receipt of a purchase, ready to print and sign: it shows the price, so only to the owner."""
    http.owner_only(request)
    job, shop = http.job_of(name), http.the_shop()
    paper = receipt_page.receipt(_purchase(job), shop)
    return render(request, "intake/purchase_receipt.html", {"job": job, "shop": shop, "receipt": paper})
