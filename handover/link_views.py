"""The workshop's side of the buyer's page: withdrawing its address, making a new one, answering what was written."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST

from handover import buyer_links, messages, views
from handover.forms import AnsweredForm, RenewLinkForm, WithdrawLinkForm
from handover.models import BuyerMessage
from workshop.core import http

ANCHOR = "#buyers-page"


@require_POST
def buyer_link_withdraw(request: HttpRequest, name: str) -> HttpResponse:
    """Withdraw the page."""
    link = buyer_links.standing(http.job_of(name))
    if link is None:
        raise Http404("No buyer's page stands here.")
    return http.answer(
        request,
        WithdrawLinkForm(request.POST),
        do=lambda act: buyer_links.withdraw(act, link),
        to=reverse("handover:handover", args=[name]) + ANCHOR,
        page=lambda form, status: views.page(request, name, form, status),
    )


@require_POST
def buyer_link_renew(request: HttpRequest, name: str) -> HttpResponse:
    """Make a new address."""
    job = http.job_of(name)
    form = RenewLinkForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: buyer_links.renew(act, job, seen=form.seen_version),
        to=reverse("handover:handover", args=[name]) + ANCHOR,
        page=lambda form, status: views.page(request, name, form, status),
    )


@require_POST
def message_answered(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Keep how a buyer's message was answered."""
    job = http.job_of(name)
    message = get_object_or_404(BuyerMessage, pk=pk, link__job__machine=job.machine)
    form = AnsweredForm(request.POST, auto_id=f"id_{pk}_%s")
    return http.answer(
        request,
        form,
        do=lambda act: messages.answer(act, job, message, **form.values),
        to=reverse("handover:handover", args=[name]) + "#buyer-wrote",
        page=lambda form, status: views.page(request, name, form, status, message_pk=pk),
    )
