"""Log several machines bought for one price, and the page of such a lot."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from intake import lot_page, services
from intake.forms.lot import LINES, MORE, LotForm, LotPriceForm
from intake.models import Lot
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry, Place
from workshop.core.undo import subject_pk


def machine_log_several(request: HttpRequest) -> HttpResponse:
    """Open the first job of each machine of a lot; a press for more lines keeps what was typed."""
    http.owner_only(request)
    shop = http.the_shop()
    if request.method != "POST":
        form = LotForm(currency=shop.currency, initial={"acquired_on": timezone.localdate()})
        return _log_page(request, form, 200)
    lines = _lines(request)
    if "more" in request.POST:
        typed: dict[str, Any] = request.POST.dict()
        return _log_page(request, LotForm(currency=shop.currency, initial=typed, lines=lines + MORE), 200)
    form = LotForm(request.POST, currency=shop.currency, lines=lines)
    return http.answer(
        request,
        form,
        do=lambda act: services.log_lot(act, shop, form.lot()),
        to=_lot_url,
        page=lambda f, status: _log_page(request, f, status),
    )


def _lines(request: HttpRequest) -> int:
    text = request.POST.get("lines", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < len("1000") else LINES


def _lot_url(entry: JournalEntry) -> str:
    return reverse("intake:lot", args=[subject_pk(entry)])


def _log_page(request: HttpRequest, form: ActForm, status: int) -> HttpResponse:
    places = Place.objects.order_by("name", "pk").values_list("name", flat=True)
    return render(request, "intake/machine_log_several.html", {"form": form, "places": places}, status=status)


def lot(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a lot: what was paid, by which rule it was shared, each machine's share; and put its price right."""
    http.owner_only(request)
    row, shop = get_object_or_404(Lot.objects.select_related("by"), pk=pk), http.the_shop()

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "page": lot_page.lot_page(row, shop), "lot": row, "shop": shop}
        return render(request, "intake/lot.html", context, status=status)

    if request.method != "POST":
        shown = {"price_minor": row.price_minor, "version": row.version}
        return page(LotPriceForm(initial=shown, currency=shop.currency), 200)
    form = LotPriceForm(request.POST, currency=shop.currency)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_lot(act, row, form.seen_version, form.values["price_minor"]),
        to=reverse("intake:lot", args=[pk]),
        page=page,
    )
