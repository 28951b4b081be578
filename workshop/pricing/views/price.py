"""Price: the station page and its acts. A technician may look again and sees no figure."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from intake import services as intake_services
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.pricing import pages, services
from workshop.pricing.forms import AskingPriceForm, ExtraCostForm, NoWorkForm, TryForm
from workshop.pricing.models import ExtraCost
from workshop.pricing.stations import STATION


@require_GET
def price(request: HttpRequest, name: str) -> HttpResponse:
    """Show the station; `?at=350` follows another price down to its profit."""
    if "at" not in request.GET or not http.person(request).is_owner:
        return page(request, name)
    form = TryForm(request.GET, currency=http.the_shop().currency)
    return page(request, name, form, 200 if form.is_valid() else 422)


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the station, with the refused form in its place."""
    job, shows_money = http.job_of(name), http.person(request).is_owner
    at_minor = form.values["at"] if isinstance(form, TryForm) and form.is_valid() else None
    context = pages.price_context(job, timezone.localdate(), shows_money=shows_money, at_minor=at_minor)
    context |= {"job": job, "form": form, "no_work_form": form if isinstance(form, NoWorkForm) else NoWorkForm()}
    if shows_money:
        context |= _owner_forms(context["money"], form)
        context["sign_off_form"] = http.fresh_sign_off(STATION, context["facts"])
    return render(request, "pricing/price.html", context, status=status)


def _owner_forms(money: pages.PriceMoney, form: ActForm | None) -> dict[str, Any]:
    currency = http.the_shop().currency
    asked = money.asked.price_minor if money.asked else money.suggested_minor
    words = money.asked.below_floor_words if money.asked else ""
    initial = {"price_minor": asked, "below_floor_words": words}
    return {
        "asking_form": form
        if isinstance(form, AskingPriceForm)
        else AskingPriceForm(initial=initial, currency=currency),
        "extra_form": form if isinstance(form, ExtraCostForm) else ExtraCostForm(currency=currency),
        "try_form": form if isinstance(form, TryForm) else TryForm(currency=currency),
    }


def _answer(request: HttpRequest, name: str, form: ActForm, do: Any, anchor: str) -> HttpResponse:
    to = f"{reverse('pricing:price', args=[name])}#{anchor}"
    return http.answer(request, form, do=do, to=to, page=lambda f, status: page(request, name, f, status))


@require_POST
def asking_set(request: HttpRequest, name: str) -> HttpResponse:
    """Set the asking price."""
    http.owner_only(request)
    job = http.job_of(name)
    form = AskingPriceForm(request.POST, currency=http.the_shop().currency)
    return _answer(request, name, form, lambda act: services.set_asking_price(act, job, **form.values), "asking")


@require_POST
def extra_add(request: HttpRequest, name: str) -> HttpResponse:
    """Add an extra cost."""
    http.owner_only(request)
    job = http.job_of(name)
    form = ExtraCostForm(request.POST, currency=http.the_shop().currency)
    return _answer(request, name, form, lambda act: services.add_extra_cost(act, job, **form.values), "costs")


@require_POST
def extra_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take an extra cost back as a slip."""
    http.owner_only(request)
    job = http.job_of(name)
    row = get_object_or_404(ExtraCost.objects.select_related("job__machine"), pk=pk, job=job)
    return _answer(request, name, ActForm(request.POST), lambda act: services.strike_extra_cost(act, row), "costs")


@require_POST
def no_work_own(request: HttpRequest, name: str) -> HttpResponse:
    """Say that the machine needed no bench time."""
    job, form = http.job_of(name), NoWorkForm(request.POST)
    return _answer(request, name, form, lambda act: services.own_no_work(act, job, **form.values), "work")


@require_POST
def second_look_same(request: HttpRequest, name: str) -> HttpResponse:
    """Answer the second look with "same as arrived"."""
    job, form = http.job_of(name), ActForm(request.POST)
    return _answer(request, name, form, lambda act: intake_services.look_again(act, job), "second-look")


@require_POST
def price_sign_off(request: HttpRequest, name: str) -> HttpResponse:
    """Sign Price off: the owner's word."""
    http.owner_only(request)
    return http.sign_off(request, name, STATION, page)
