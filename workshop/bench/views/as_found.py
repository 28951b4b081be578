"""As found: the card of what works on arrival, one item at a time; mains only once it is safe to power."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_POST

from intake import services as intake
from intake.models import AsFound, Purchase, SeenRunning
from workshop.bench import as_found as rows
from workshop.bench import as_found_items, stations
from workshop.bench.forms.as_found import AsFoundForm, ClearedForm, SeenRunningForm
from workshop.bench.services import as_found as services
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job


@require_GET
def as_found(request: HttpRequest, name: str) -> HttpResponse:
    """Show the card at one item."""
    return page(request, name, request.GET.get("item", ""))


def page(
    request: HttpRequest, name: str, item: str = "", form: ActForm | None = None, status: int = 200
) -> HttpResponse:
    """Show the card; a refused form stands in its own place, with what was typed."""
    job = http.job_of(name)
    shown = rows.page(job, stations.PROVE.facts([job.pk])[job.pk], item)
    context: dict[str, Any] = {
        "job": job,
        "page": shown,
        "form": form,
        "answer_form": form if isinstance(form, AsFoundForm) else AsFoundForm(),
        "seen_form": form if isinstance(form, SeenRunningForm) else _seen_form(job),
        "cleared_form": form if isinstance(form, ClearedForm) else ClearedForm(),
    }
    return render(request, "bench/as_found.html", context, status=status)


def _seen_form(job: Job, *args: Any) -> SeenRunningForm:
    bought = Purchase.objects.filter(job=job).only("acquired_on").first()
    items = as_found_items.items_for(job.machine.notes)
    return SeenRunningForm(*args, items=items, initial={"seen_on": bought.acquired_on if bought else http.today()})


def _answer(request: HttpRequest, job: Job, form: ActForm, do: Any, *, item: str = "", to: str = "") -> HttpResponse:
    name = job.machine.slug
    return http.answer(
        request, form, do=do, to=to or rows.card_at(job), page=lambda f, status: page(request, name, item, f, status)
    )


@require_POST
def as_found_answer(request: HttpRequest, name: str, item: str) -> HttpResponse:
    """Keep one answer; the card goes on to the next item."""
    job = http.job_of(name)
    if as_found_items.find(job.machine.notes, item) is None:
        raise Http404("This machine has no such item.")
    form = AsFoundForm(request.POST)
    return _answer(
        request,
        job,
        form,
        lambda act: services.answer(act, job, item, pressed=form.pressed, words=form.values["words"]),
        item=item,
    )


@require_POST
def as_found_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take an answer back as a slip, and show its item again."""
    job = http.job_of(name)
    row = get_object_or_404(AsFound.objects.select_related("job__machine"), pk=pk, job=job)
    return _answer(
        request,
        job,
        ActForm(request.POST),
        lambda act: intake.strike_as_found(act, row),
        item=row.item,
        to=rows.card_at(job, row.item),
    )


@require_POST
def seen_running_add(request: HttpRequest, name: str) -> HttpResponse:
    """Note what was seen running at the seller's."""
    job = http.job_of(name)
    form = _seen_form(job, request.POST)
    return _answer(
        request,
        job,
        form,
        lambda act: services.note_seen_running(act, job, form.values["items"], seen_on=form.values["seen_on"]),
    )


@require_POST
def seen_running_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take back what was seen at the seller's."""
    job = http.job_of(name)
    row = get_object_or_404(SeenRunning.objects.select_related("job__machine"), pk=pk, job=job)
    return _answer(request, job, ActForm(request.POST), lambda act: intake.strike_seen_running(act, row))


@require_POST
def bag_clear(request: HttpRequest, name: str) -> HttpResponse:
    """Say that it is clean and may leave its bag."""
    job = http.job_of(name)
    form = ClearedForm(request.POST)
    return _answer(request, job, form, lambda act: intake.clear_bag(act, job, form.values["words"]))
