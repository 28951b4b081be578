"""Dose trials, runs of a button, and the grinder being opened."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.bench import dosing, pages_card, pages_dose
from workshop.bench.forms.dosing import BurrForm, ButtonForm, DoseForm
from workshop.bench.models import ButtonTrial, DoseTrial
from workshop.bench.pages_dose import Weighings
from workshop.bench.services import dosing as services
from workshop.bench.services.take_back import take_back
from workshop.bench.views import mend
from workshop.bench.views.shots import known
from workshop.bench.words import ButtonKind, RunsWith
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry


@require_GET
def dose(request: HttpRequest, name: str) -> HttpResponse:
    """Show what the grinder gives."""
    return dose_page(request, name)


def _grinding(name: str) -> Job:
    job = http.job_of(name)
    if not job.machine.notes.has_grinder:
        raise Http404("This machine has no grinder of its own.")
    return job


def _weighings(job: Job) -> tuple[Any, Weighings]:
    facts, _ = known(job)
    found = pages_dose.weighings(job, facts)
    if found is None:
        raise Http404("A grinder alone pulls no shots.")
    return facts, found


def dose_page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the dose trials, with the refused form in its place."""
    job = _grinding(name)
    facts, found = _weighings(job)
    trials = found.dosing.trials
    again = {"portions": trials[-1].portions if trials else 1, "setting": found.dosing.grind.now}
    context: dict[str, Any] = pages_dose.dose_page(facts, found.dosing) | {
        "job": job,
        "scale_known": bool(job.machine.notes.dose_scale),
        "blocked": pages_card.no_mains(job, facts),
        "dose_form": form if isinstance(form, DoseForm) else _dose_form(job, initial=again),
        "burr_form": form if isinstance(form, BurrForm) else BurrForm(),
        "burrs_from": "dose",
        "form": form,
    }
    return render(request, "bench/dose.html", context, status=status)


def _dose_form(job: Job, *data: Any, **kwargs: Any) -> DoseForm:
    return DoseForm(*data, scale=dosing.scale_of(job.machine.notes).kind, **kwargs)


@require_POST
def dose_add(request: HttpRequest, name: str) -> HttpResponse:
    """Keep a weighed dose."""
    job = _grinding(name)
    form = _dose_form(job, request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.add_dose(act, job, form.weighed),
        to=reverse("bench:dose", args=[name]),
        page=lambda f, status: dose_page(request, name, f, status),
    )


@require_POST
def dose_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take a weighed dose back as a slip."""
    job = _grinding(name)
    row = get_object_or_404(DoseTrial.objects.select_related("job__machine"), pk=pk, job=job)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: take_back(act, [row], str(row)),
        to=reverse("bench:dose", args=[name]),
        page=lambda f, status: dose_page(request, name, f, status),
    )


@require_GET
def buttons(request: HttpRequest, name: str) -> HttpResponse:
    """Show what the buttons deliver."""
    return buttons_page(request, name)


def buttons_page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the runs of each button, with the refused form in its place."""
    job = http.job_of(name)
    facts, found = _weighings(job)
    names = pages_dose.button_names(job)
    context = {
        "job": job,
        "names": names,
        "teach": job.machine.notes.teach_button,
        "series": pages_dose.series_rows(found.series),
        "blocked": pages_card.no_mains(job, facts),
        "button_form": form if isinstance(form, ButtonForm) else ButtonForm(buttons=names, initial=_again(job, found)),
        "form": form,
    }
    return render(request, "bench/buttons.html", context, status=status)


def _again(job: Job, found: Weighings) -> dict[str, str]:
    """Return what is carried over from the last run, said aloud: never the grams."""
    if found.series:
        last = max((each.last for each in found.series), key=lambda row: (row.at, row.pk))
        return {
            "button": last.button,
            "kind": last.kind,
            "runs_with": last.runs_with,
            "setting": found.dosing.grind.now,
        }
    timed = job.machine.notes.timed_button
    kind = "" if timed is None else ButtonKind.TIMED if timed else ButtonKind.METERED
    return {"kind": kind, "runs_with": RunsWith.COFFEE, "setting": found.dosing.grind.now}


@require_POST
def button_add(request: HttpRequest, name: str) -> HttpResponse:
    """Keep a run of a button."""
    job = http.job_of(name)
    form = ButtonForm(request.POST, buttons=pages_dose.button_names(job))
    return http.answer(
        request,
        form,
        do=lambda act: services.add_button_run(act, job, form.delivered),
        to=reverse("bench:buttons", args=[name]),
        page=lambda f, status: buttons_page(request, name, f, status),
    )


@require_POST
def button_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take a run back as a slip."""
    job = http.job_of(name)
    row = get_object_or_404(ButtonTrial.objects.select_related("job__machine"), pk=pk, job=job)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: take_back(act, [row], str(row)),
        to=reverse("bench:buttons", args=[name]),
        page=lambda f, status: buttons_page(request, name, f, status),
    )


@require_POST
def grinder_open(request: HttpRequest, name: str) -> HttpResponse:
    """Note that the grinder was opened; the page it was said on comes back."""
    job = _grinding(name)
    form = BurrForm(request.POST)
    from_dose = request.POST.get("from") == "dose"
    here = dose_page if from_dose else mend.page

    def do(act: Act) -> JournalEntry:
        return services.open_grinder(act, job, **form.values)

    return http.answer(
        request,
        form,
        do=do,
        to=reverse("bench:dose" if from_dose else "bench:mend", args=[name]) + "#grinder",
        page=lambda f, status: here(request, name, f, status),
    )
