"""Mend and reseal: the station page and its acts."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from intake import services as intake_services
from intake.models import Finding
from workshop.bench import escapes, pages_dose, pages_mend, stations
from workshop.bench.forms.dosing import BurrForm
from workshop.bench.forms.mend import CaseForm, FindingEndForm, KeepForm, RingForm, SealForm, WorkForm
from workshop.bench.models import BurrChange, CaseOpening, WorkDone
from workshop.bench.models.corrections import STANDS
from workshop.bench.services import mend as services
from workshop.bench.services import work
from workshop.bench.words import SealEnd
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import SealPosition
from workshop.trade.safety.cautions import Trigger, for_trigger


@require_GET
def mend(request: HttpRequest, name: str) -> HttpResponse:
    """Show the station."""
    return page(request, name)


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the station, with the refused form in its place."""
    job = http.job_of(name)
    facts = stations.MEND.facts([job.pk])[job.pk]
    context: dict[str, Any] = {
        "job": job,
        "unmet": stations.MEND.unmet(facts),
        "findings": pages_mend.finding_rows(facts),
        "seals": pages_mend.seal_rows(facts),
        "inside_open": any(not s.wears and s.pk not in facts.answers for s in facts.seals),
        "work": pages_mend.work_rows(job),
        "seals_changed": any(answer.end == SealEnd.CHANGED for answer in facts.answers.values()),
        "case": CaseOpening.objects.open_now().filter(job=job).select_related("opened_by").first(),
        "inside_wanted": pages_mend.inside_wanted(stations.PROVE.facts([job.pk])[job.pk]),
        "cautions": cautions(),
        "wear_open": sum(1 for s in facts.seals if s.wears and s.pk not in facts.answers),
        "keep_form": form if isinstance(form, KeepForm) else KeepForm(prefix="keep"),
        "work_form": form if isinstance(form, WorkForm) else WorkForm(),
        "case_form": form if isinstance(form, CaseForm) else CaseForm(),
        "escape_open": escapes.asked(job) and not escapes.answers([job.pk]),
        "burr_form": form if isinstance(form, BurrForm) else BurrForm(),
        "burrs": pages_dose.burrs_words(BurrChange.objects.filter(STANDS, job=job).order_by("at", "pk").last()),
        "burrs_from": "mend",
        "sign_off_form": http.fresh_sign_off(stations.MEND, facts),
        "form": form,
    }
    return render(request, "bench/mend.html", context, status=status)


def cautions() -> list[dict[str, str]]:
    """Return the cautions of opening a machine."""
    found = dict.fromkeys((*for_trigger(Trigger.WORK_OPENED), *for_trigger(Trigger.BOILER_CHOSEN)))  # each once
    return [
        {"word": c.signal_word.value.capitalize(), "hazard": c.hazard, "words": f"{c.effect} {c.avoid}"} for c in found
    ]


def _answer(request: HttpRequest, name: str, form: ActForm, do: Any, anchor: str, page_: Any = None) -> HttpResponse:
    return http.answer(
        request,
        form,
        do=do,
        to=reverse("bench:mend", args=[name]) + f"#{anchor}",
        page=page_ or (lambda f, status: page(request, name, f, status)),
    )


def finding_end(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Say how a finding ended."""
    job = http.job_of(name)
    finding = get_object_or_404(Finding.objects.select_related("job__machine"), pk=pk, job=job)

    def ending(form: ActForm, status: int) -> HttpResponse:
        return render(request, "bench/finding_end.html", {"job": job, "form": form, "finding": finding}, status=status)

    if request.method != "POST":
        return ending(FindingEndForm(), 200)
    form = FindingEndForm(request.POST)
    return _answer(
        request, name, form, lambda act: intake_services.end_finding(act, finding, **form.values), "findings", ending
    )


def seal_answer(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Say what became of one seal."""
    job = http.job_of(name)
    position = get_object_or_404(SealPosition, pk=pk, notes=job.machine.notes)

    def answering(form: ActForm, status: int) -> HttpResponse:
        context = {"job": job, "form": form, "position": position}
        return render(request, "bench/seal_answer.html", context, status=status)

    if request.method != "POST":
        return answering(
            SealForm(initial={"end": "CHANGED", "size": position.size, "material": position.material}), 200
        )
    form = SealForm(request.POST)
    return _answer(
        request, name, form, lambda act: services.answer_seal(act, job, position, **form.values), "seals", answering
    )


@require_POST
def other_seals_keep(request: HttpRequest, name: str) -> HttpResponse:
    """Keep every wear seal that has no answer yet."""
    job = http.job_of(name)
    form = KeepForm(request.POST, prefix="keep")
    return _answer(request, name, form, lambda act: services.keep_other_seals(act, job, **form.values), "seals")


@require_POST
def inside_seals_leave(request: HttpRequest, name: str) -> HttpResponse:
    """Answer every inside seal with 'not disturbed'."""
    job = http.job_of(name)
    return _answer(request, name, ActForm(request.POST), lambda act: services.leave_inside_seals(act, job), "seals")


@require_GET
def ring_match(request: HttpRequest, name: str) -> HttpResponse:
    """Match a worn ring against the standard sizes."""
    job = http.job_of(name)
    form = RingForm(request.GET or None)
    context: dict[str, Any] = {"job": job, "form": form}
    if request.GET and form.is_valid():
        try:
            context["match"], context["rows"] = pages_mend.ring_rows(**form.cleaned_data)
        except ValueError as wrong:
            form.add_error(None, str(wrong))
    status = 422 if form.errors else 200
    return render(request, "bench/ring_match.html", context, status=status)


@require_POST
def work_add(request: HttpRequest, name: str) -> HttpResponse:
    """Note work done."""
    job = http.job_of(name)
    form = WorkForm(request.POST)
    return _answer(request, name, form, lambda act: work.add_work(act, job, **form.values), "work")


@require_POST
def work_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take work back as a slip."""
    job = http.job_of(name)
    row = get_object_or_404(WorkDone.objects.select_related("job__machine", "movement__part"), pk=pk, job=job)
    return _answer(request, name, ActForm(request.POST), lambda act: work.strike_work(act, row), "work")


@require_POST
def case_open(request: HttpRequest, name: str) -> HttpResponse:
    """Note that the case is open."""
    job = http.job_of(name)
    form = CaseForm(request.POST)
    return _answer(request, name, form, lambda act: work.open_case(act, job, why=form.values["why"]), "case")


@require_POST
def case_shut(request: HttpRequest, name: str) -> HttpResponse:
    """Note that the case is shut."""
    job = http.job_of(name)
    return _answer(request, name, ActForm(request.POST), lambda act: work.shut_case(act, job), "case")


@require_POST
def mend_sign_off(request: HttpRequest, name: str) -> HttpResponse:
    """Sign Mend and reseal off."""
    return http.sign_off(request, name, stations.MEND, page)
