"""The Machine page and the small acts on it: facts, place, waits, undo."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from intake import blind as intake_blind
from workshop.core import http, services
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry, Place, Wait
from workshop.core.words import Area
from workshop.desk import frame, journal, sections
from workshop.desk import services as desk_services
from workshop.desk.forms import MachineForm, MoveForm, WaitForm
from workshop.desk.undo import undoable


@require_GET
def machine(request: HttpRequest, name: str) -> HttpResponse:
    """Everything about one machine: plain sections, no tabs."""
    return _page(request, http.job_of(name), 200)


def _page(request: HttpRequest, job: Job, status: int, *, wait_form: ActForm | None = None) -> HttpResponse:
    around, viewer = frame.frame(job), http.person(request)
    context: dict[str, Any] = {
        "job": job,
        "frame": around,
        "wait_form": wait_form or WaitForm(),
        "move_form": MoveForm(initial={"version": job.machine.version, "place": job.machine.place}),
        **sections.sections(job, around.standings, shows_money=viewer.is_owner, asked=around.asked, viewer=viewer),
    }
    return render(request, "desk/machine.html", context, status=status)


@require_GET
def machine_record(request: HttpRequest, name: str) -> HttpResponse:
    """Everything that was done to one machine, newest first."""
    job = http.job_of(name)
    entries = journal.of_machine(job.machine)
    if not http.person(request).is_owner:
        entries = entries.exclude(area=Area.MONEY)
    if intake_blind.hides_marks(job, http.person(request)):
        entries = entries.exclude(verb__in=intake_blind.TELLING)
    shown = list(entries)
    return render(
        request,
        "desk/record.html",
        {
            "entries": journal.with_messages(shown, job.machine),
            "undoable": undoable(shown, http.person(request)),
            "of": job.machine,
        },
    )


def machine_edit(request: HttpRequest, name: str) -> HttpResponse:
    """Change the facts of one unit."""
    job = http.job_of(name)
    unit = job.machine
    columns = [field for field in MachineForm.base_fields if hasattr(unit, field)]

    def page(form: ActForm, status: int) -> HttpResponse:
        return render(request, "desk/machine_edit.html", {"form": form, "job": job}, status=status)

    if request.method != "POST":
        return page(MachineForm(initial={field: getattr(unit, field) for field in columns}), 200)
    form = MachineForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.change_machine(act, unit, form.seen_version, form.values),
        to=unit.get_absolute_url(),
        page=page,
    )


def machine_move(request: HttpRequest, name: str) -> HttpResponse:
    """Note where the machine stands now."""
    job = http.job_of(name)

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "job": job, "places": Place.objects.filter(retired=False).order_by("name", "pk")}
        return render(request, "desk/machine_move.html", context, status=status)

    if request.method != "POST":
        return page(MoveForm(initial={"version": job.machine.version, "place": job.machine.place}), 200)
    form = MoveForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.move_machine(
            act, job.machine, form.seen_version, form.values["place"], sure=form.values["sure"]
        ),
        to=job.machine.get_absolute_url(),
        page=page,
    )


@require_POST
def wait_begin(request: HttpRequest, name: str) -> HttpResponse:
    """Hang a wait under a station."""
    job = http.job_of(name)
    form = WaitForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.begin_wait(act, job, **form.values),
        to=job.machine.get_absolute_url(),
        page=lambda f, status: _page(request, job, status, wait_form=f),
    )


@require_POST
def wait_end(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take a wait off: it came."""
    job = http.job_of(name)
    wait = get_object_or_404(Wait.objects.select_related("job__machine"), pk=pk, job=job)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.end_wait(act, wait),
        to=job.machine.get_absolute_url(),
        page=lambda f, status: _page(request, job, status),
    )


@require_POST
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Undo one journal entry; the undoing is itself recorded."""
    entry = get_object_or_404(JournalEntry.objects.select_related("job__machine"), pk=pk)
    back = entry.machine.get_absolute_url() if entry.machine else reverse("record")

    def page(form: ActForm, status: int) -> HttpResponse:
        return render(request, "desk/undo_refused.html", {"form": form, "entry": entry, "back": back}, status=status)

    return http.answer(
        request, ActForm(request.POST), do=lambda act: desk_services.undo_entry(act, entry), to=back, page=page
    )
