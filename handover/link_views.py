"""The workshop's side of the buyer's page: withdrawing its address, making a new one."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_POST

from handover import buyer_links, views
from handover.forms import RenewLinkForm, WithdrawLinkForm
from handover.models import BuyerLink
from workshop.core import http

ANCHOR = "#buyers-page"


@require_POST
def withdraw(request: HttpRequest, name: str) -> HttpResponse:
    """Withdraw the page."""
    rows = BuyerLink.objects.select_related("job__machine")
    link = get_object_or_404(rows, job=http.job_of(name), withdrawn_at__isnull=True)
    return http.answer(
        request,
        WithdrawLinkForm(request.POST),
        do=lambda act: buyer_links.withdraw(act, link),
        to=reverse("handover:handover", args=[name]) + ANCHOR,
        page=lambda form, status: views.page(request, name, form, status),
    )


@require_POST
def renew(request: HttpRequest, name: str) -> HttpResponse:
    """Make a new address."""
    job = http.job_of(name)
    return http.answer(
        request,
        RenewLinkForm(request.POST),
        do=lambda act: buyer_links.renew(act, job),
        to=reverse("handover:handover", args=[name]) + ANCHOR,
        page=lambda form, status: views.page(request, name, form, status),
    )
