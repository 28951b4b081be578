"""What is sold beside the machine: added, changed, taken off, until it is handed over."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job
from workshop.pricing import services
from workshop.pricing.models import Sale, SaleLine
from workshop.pricing.views import payments


def _to(name: str, sale_pk: int) -> str:
    return f"{reverse('pricing:payments', args=[name])}#extras-{sale_pk}"


@require_POST
def line_add(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Sell something beside the machine."""
    job = http.job_of(name)
    sale = get_object_or_404(Sale.objects.select_related("job__machine"), pk=pk, job__machine=job.machine)
    form = payments.line_form(request, request.POST, auto_id=f"line_{sale.pk}_%s")
    return http.answer(
        request,
        form,
        do=lambda act: services.add_line(act, sale, **form.values),
        to=_to(name, sale.pk),
        page=lambda f, status: payments.page(request, name, f, status, sale.pk),
    )


def _line(job: Job, pk: int) -> SaleLine:
    rows = SaleLine.objects.select_related("sale__job__machine")
    return get_object_or_404(rows, pk=pk, sale__job__machine=job.machine)


def line_edit(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Change an extra."""
    job = http.job_of(name)
    row = _line(job, pk)

    def editing(form: ActForm, status: int) -> HttpResponse:
        return render(request, "pricing/line_edit.html", {"job": job, "form": form, "row": row}, status=status)

    if request.method != "POST":
        names = ("words", "amount_minor", "tax", "rate_percent", "cost_minor", "is_service", "version")
        return editing(payments.line_form(request, initial={n: getattr(row, n) for n in names}), 200)
    form = payments.line_form(request, request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_line(act, row, form.seen_version, form.values),
        to=_to(name, row.sale_id),
        page=editing,
    )


@require_POST
def line_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take an extra off."""
    row = _line(http.job_of(name), pk)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.strike_line(act, row),
        to=_to(name, row.sale_id),
        page=lambda f, status: payments.page(request, name, f, status),
    )
