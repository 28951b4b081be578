"""Most to pay: the four numbers at the doorstep, and the machines looked at. The owner's alone."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry, Place
from workshop.core.undo import subject_pk
from workshop.pricing import odds_words, services
from workshop.pricing import pages_sightings as pages
from workshop.pricing.models import Sighting
from workshop.pricing.odds import Evidence
from workshop.pricing.sighting_forms import BuyForm, DropForm, SightingForm


def most_to_pay(request: HttpRequest) -> HttpResponse:
    """Work out the most to pay; "Keep it" makes it a sighting."""
    http.owner_only(request)
    shop = http.the_shop()
    if request.method != "POST":
        return _page(request, SightingForm(initial=pages.first_boxes(shop), currency=shop.currency), None, 200)
    form = SightingForm(request.POST, currency=shop.currency)
    known = pages.fill(form, shop)
    if "look" in request.POST:
        return _page(request, form.unpressed(shop.currency), known, 200)
    if "keep" in request.POST:
        return http.answer(
            request,
            form,
            do=lambda act: services.keep_sighting(act, shop, form.values),
            to=_sighting_url,
            page=lambda f, status: _page(request, f, known, status),
        )
    return _page(request, form, known, 200 if form.is_valid() else 422)


def _page(request: HttpRequest, form: ActForm, known: Evidence | None, status: int) -> HttpResponse:
    shop = http.the_shop()
    answered = form if isinstance(form, SightingForm) and form.is_bound and form.is_valid() else None
    open_ones, ended = pages.sightings(shop)
    if isinstance(form, SightingForm) and known:
        form.hint(odds_words.hints(known, shop))
    context = {
        "form": form,
        "told": odds_words.told(known, shop) if known else None,
        "answer": pages.tried(answered, shop, http.today(), known) if answered else None,
        "open_ones": open_ones,
        "ended": ended,
    }
    return render(request, "pricing/most_to_pay.html", context, status=status)


def _sighting_url(entry: JournalEntry) -> str:
    return reverse("pricing:sighting", args=[subject_pk(entry)])


def _seen(pk: int) -> Sighting:
    return get_object_or_404(Sighting.objects.select_related("notes", "job__machine", "by"), pk=pk)


def sighting(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a machine looked at; pressed, work it out anew and keep that."""
    http.owner_only(request)
    row, shop = _seen(pk), http.the_shop()
    if request.method != "POST":
        return _sighting_page(request, pk, None, 200)
    form = SightingForm(request.POST, currency=shop.currency)
    pages.fill(form, shop)
    return _answer(
        request, pk, form, lambda act: services.change_sighting(act, shop, row, form.seen_version, form.values)
    )


def _answer(request: HttpRequest, pk: int, form: Any, do: Any) -> HttpResponse:
    to = reverse("pricing:sighting", args=[pk])
    return http.answer(request, form, do=do, to=to, page=lambda f, status: _sighting_page(request, pk, f, status))


def _sighting_page(request: HttpRequest, pk: int, pressed: ActForm | None, status: int) -> HttpResponse:
    row, shop = _seen(pk), http.the_shop()
    first = SightingForm(initial=pages.boxes(row), currency=shop.currency)
    form = pressed if isinstance(pressed, SightingForm) else first
    known = pages.odds_of(form)
    if known:
        form.hint(odds_words.hints(known, shop))
    buying = {"price_minor": pages.price_to_begin(row), "version": row.version}
    context = {
        "row": row,
        "pressed": pressed,
        "form": form,
        "buy_form": pressed if isinstance(pressed, BuyForm) else BuyForm(initial=buying, currency=shop.currency),
        "drop_form": pressed if isinstance(pressed, DropForm) else DropForm(initial={"version": row.version}),
        "told": odds_words.told(known, shop) if known else None,
        "answer": pages.kept(row, shop),
        "places": Place.objects.order_by("name", "pk").values_list("name", flat=True),
    }
    return render(request, "pricing/most_to_pay_sighting.html", context, status=status)


@require_POST
def sighting_buy(request: HttpRequest, pk: int) -> HttpResponse:
    """Make it a purchase: the machine is logged and its page opens."""
    http.owner_only(request)
    row, shop = _seen(pk), http.the_shop()
    form = BuyForm(request.POST, currency=shop.currency)
    return http.answer(
        request,
        form,
        do=lambda act: services.buy_sighting(act, shop, row, form.seen_version, **form.values),
        to=lambda entry: entry.machine.get_absolute_url() if entry.machine else reverse("home"),
        page=lambda f, status: _sighting_page(request, pk, f, status),
        say=lambda entry: f"{entry.machine} is logged. Press Tag and stick it on now.",
    )


@require_POST
def sighting_drop(request: HttpRequest, pk: int) -> HttpResponse:
    """Say why it is not bought."""
    http.owner_only(request)
    row, form = _seen(pk), DropForm(request.POST)
    return _answer(request, pk, form, lambda act: services.drop_sighting(act, row, form.seen_version, **form.values))


@require_POST
def sighting_take_up(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a dropped one up again."""
    http.owner_only(request)
    row = _seen(pk)
    return _answer(request, pk, ActForm(request.POST), lambda act: services.take_up_sighting(act, row))
