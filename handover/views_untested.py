"""Selling a machine untested or faulty: what is told, the label, the act. Never a settings card."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from handover import endings
from handover.forms import TellForm
from handover.forms_untested import SellUntestedForm
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job, Shop
from workshop.pricing import pages as pricing_pages
from workshop.trade.safety.labels import label_for


@require_GET
def untested(request: HttpRequest, name: str) -> HttpResponse:
    """Show what stands in the way, what is told, and the sale."""
    return page(request, name)


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the page, with the refused form in its place."""
    job, shop = http.job_of(name), http.the_shop()
    telling = endings.to_tell(job)
    context: dict[str, Any] = {
        "job": job,
        "label": endings.label(job, shop),
        "telling": telling,
        "told": endings.told(job),
        "blocks": endings.before(job, http.today(), telling),
        "balance": pricing_pages.balance([job.pk]).get(job.pk),
        "owner": http.person(request).is_owner,
        "form": form,
        "tell_form": form if isinstance(form, TellForm) else TellForm(),
        "sell_form": form if isinstance(form, SellUntestedForm) else _sell_form(job, shop),
    }
    return render(request, "handover/untested.html", context, status=status)


def _sell_form(job: Job, shop: Shop, data: Any = None) -> SellUntestedForm:
    return SellUntestedForm(
        data,
        currency=shop.currency,
        reserved=bool(pricing_pages.balance([job.pk])),
        must_disable=label_for(shop.country).must_disable,
    )


@require_POST
def untested_told(request: HttpRequest, name: str) -> HttpResponse:
    """Record that the buyer was told everything as it is."""
    job, form = http.job_of(name), TellForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: endings.tell_as_it_is(act, job, how=form.values["how"]),
        to=reverse("handover:untested", args=[name]),
        page=lambda f, status: page(request, name, f, status),
    )


@require_GET
def untested_label(request: HttpRequest, name: str) -> HttpResponse:
    """Show the label of the workshop's place, to print and tie on."""
    job, shop = http.job_of(name), http.the_shop()
    context = {
        "job": job,
        "label": endings.label(job, shop),
        "telling": endings.to_tell(job),
        "told": endings.told(job),
    }
    return render(request, "handover/untested_label.html", context)


@require_POST
def untested_sell(request: HttpRequest, name: str) -> HttpResponse:
    """Sell it untested or faulty: the job ends."""
    http.owner_only(request)
    job, shop = http.job_of(name), http.the_shop()
    form = _sell_form(job, shop, request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: endings.sell_untested(act, job, shop, form.new),
        to=reverse("pricing:ended", args=[name]),
        page=lambda f, status: page(request, name, f, status),
    )
