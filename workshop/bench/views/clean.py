"""Clean and descale: the station page and its acts."""

from decimal import Decimal
from typing import Any

from django.db.models import Model
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.bench import pages_card, pages_clean, stations
from workshop.bench.facts.clean import CleanFacts
from workshop.bench.forms.clean import BecauseForm, CleanForm, DescaleForm, FlushForm, ResidualForm, RinseForm
from workshop.bench.models import CleanLine, DescaleRun, LeadFlush, ResidualCheck, Rinse
from workshop.bench.services import clean as services
from workshop.bench.services import work
from workshop.bench.services.take_back import take_back
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry, Shop
from workshop.trade.water.hardness import HardnessUnit, from_mmol_l


@require_GET
def clean(request: HttpRequest, name: str) -> HttpResponse:
    """Show the station."""
    return page(request, name)


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200, **shown: Any) -> HttpResponse:
    """Show the station, with the refused form in its place."""
    job, shop = http.job_of(name), http.the_shop()
    facts = stations.CLEAN.facts([job.pk])[job.pk]
    context: dict[str, Any] = {
        "job": job,
        "facts": facts,
        "unmet": stations.CLEAN.unmet(facts),
        "done": pages_clean.done_rows(facts),
        "rinses": pages_clean.rinse_rows(facts),
        "cautions": pages_clean.cautions(),
        "not_safe": pages_card.not_safe(job),
        "sign_off_form": http.fresh_sign_off(stations.CLEAN, facts),
        "runs": facts.runs,
        "form": form,
        **_forms(job, shop, facts, form),
        **shown,
    }
    return render(request, "bench/clean.html", context, status=status)


def _forms(job: Job, shop: Shop, facts: CleanFacts, pressed: ActForm | None) -> dict[str, ActForm]:
    notes = job.machine.notes
    last = facts.runs[-1] if facts.runs else None
    agent = (last.agent if last else "") or notes.descale_agent or "CITRIC_MONOHYDRATE"
    unit = HardnessUnit.MG_L_CACO3
    fresh: dict[str, ActForm] = {
        "clean_form": CleanForm(wanted=facts.wanted, done=facts.lines),
        "descale_form": DescaleForm(
            initial={
                "agent": agent,
                "strength_percent": notes.descale_strength_percent,
                "volume_l": notes.descale_litres,
                "minutes": notes.descale_minutes,
                "hardness": round(from_mmol_l(shop.hardness_mmol_l, unit))
                if shop.hardness_mmol_l is not None
                else None,
                "hardness_unit": unit.value,
            }
        ),
        "rinse_form": RinseForm(),
        "residual_form": ResidualForm(initial={"agent": agent}),
        "flush_form": FlushForm(),
        "because_form": BecauseForm(),
    }
    return {name: pressed if type(pressed) is type(form) and pressed else form for name, form in fresh.items()}


def _answer(request: HttpRequest, name: str, form: ActForm, do: Any, anchor: str) -> HttpResponse:
    return http.answer(
        request,
        form,
        do=do,
        to=reverse("bench:clean", args=[name]) + f"#{anchor}",
        page=lambda f, status: page(request, name, f, status),
    )


@require_POST
def clean_add(request: HttpRequest, name: str) -> HttpResponse:
    """Note what was cleaned, or left because."""
    job = http.job_of(name)
    facts = stations.CLEAN.facts([job.pk])[job.pk]
    form = CleanForm(request.POST, wanted=facts.wanted)
    return _answer(request, name, form, lambda act: services.clean(act, job, lines=form.lines), "clean")


@require_POST
def descale_add(request: HttpRequest, name: str) -> HttpResponse:
    """Work a fill out ("work"), or log it."""
    job = http.job_of(name)
    form = DescaleForm(request.POST)
    if "work" in request.POST and form.is_valid():
        try:
            shown = pages_clean.worked_out(form.cleaned_data, job.machine.notes, http.the_shop())
        except ValueError as wrong:
            form.add_error(None, str(wrong))
            return page(request, name, form, 422)
        return page(request, name, form, 200, worked_out=shown)
    return _answer(request, name, form, lambda act: services.descale(act, job, **form.run), "descale")


@require_POST
def descale_as_usual(request: HttpRequest, name: str) -> HttpResponse:
    """Log the fill the model notes call usual, in one press."""
    job = http.job_of(name)
    notes = job.machine.notes
    usual = {"agent": notes.descale_agent, "strength_percent": notes.descale_strength_percent}
    usual |= {"volume_l": notes.descale_litres, "minutes": notes.descale_minutes}
    if not all(usual.values()):
        form = DescaleForm({**usual, "hardness_unit": "MG_L_CACO3"})
        form.is_valid()
        form.add_error(None, "The model notes have no usual fill yet. Log this one by hand.")
        return page(request, name, form, 422)
    return _answer(
        request, name, ActForm(request.POST), lambda act: services.descale(act, job, as_usual=True, **usual), "descale"
    )


@require_POST
def rinse_add(request: HttpRequest, name: str) -> HttpResponse:
    """Log litres run through a path."""
    job = http.job_of(name)
    facts = stations.CLEAN.facts([job.pk])[job.pk]
    form = RinseForm(request.POST)

    def do(act: Any) -> Any:
        path = next((p for p in facts.paths if p.path == form.cleaned_data["path"]), None)
        needed = facts.wanted_l(path) if path else None
        return services.rinse(
            act,
            job,
            path=form.cleaned_data["path"],
            volume_l=form.cleaned_data["volume_l"],
            needed_l=needed or Decimal(0),
        )

    return _answer(request, name, form, do, "rinse")


@require_POST
def rinse_as_computed(request: HttpRequest, name: str) -> HttpResponse:
    """Log the computed litres through every path that still wants them, in one press."""
    job = http.job_of(name)
    facts = stations.CLEAN.facts([job.pk])[job.pk]
    return _answer(
        request,
        name,
        ActForm(request.POST),
        lambda act: services.rinse_all(act, job, wanted=_still_wanted(facts)),
        "rinse",
    )


def _still_wanted(facts: CleanFacts) -> dict[str, Any]:
    wanted = {path.path.value: facts.wanted_l(path) for path in facts.paths}
    return {path: litres for path, litres in wanted.items() if litres and facts.rinsed_l.get(path, 0) < litres}


@require_POST
def residual_check(request: HttpRequest, name: str) -> HttpResponse:
    """Measure the acid left."""
    job = http.job_of(name)
    form = ResidualForm(request.POST)
    return _answer(request, name, form, lambda act: services.check_residual(act, job, **form.values), "residual")


@require_POST
def flush_add(request: HttpRequest, name: str) -> HttpResponse:
    """Log the flush after descaling."""
    job = http.job_of(name)
    form = FlushForm(request.POST)
    return _answer(request, name, form, lambda act: services.flush_for_lead(act, job, **form.values), "flush")


@require_POST
def descale_not_needed(request: HttpRequest, name: str) -> HttpResponse:
    """Say that descaling is not needed, and why."""
    job = http.job_of(name)
    form = BecauseForm(request.POST)
    return _answer(
        request,
        name,
        form,
        lambda act: work.not_needed(act, job, what="descale", because=form.values["because"]),
        "descale",
    )


@require_POST
def run_strike(request: HttpRequest, name: str, kind: str, pk: int) -> HttpResponse:
    """Take a run, a rinse, a cleaned line, a measured rinse or a flush back as a slip."""
    job = http.job_of(name)
    if kind not in _STRUCK:
        raise Http404("Nothing of this kind is taken back here.")
    model, anchor = _STRUCK[kind]
    row: Any = get_object_or_404(model.objects.select_related("job__machine"), pk=pk, job=job)  # type: ignore[attr-defined]

    def do(act: Act) -> JournalEntry:
        if isinstance(row, DescaleRun | Rinse):
            return services.strike(act, row)
        return take_back(act, [row], str(row))

    return _answer(request, name, ActForm(request.POST), do, anchor)


_STRUCK: dict[str, tuple[type[Model], str]] = {
    "run": (DescaleRun, "descale"),
    "rinse": (Rinse, "rinse"),
    "line": (CleanLine, "clean"),
    "residual": (ResidualCheck, "residual"),
    "flush": (LeadFlush, "flush"),
}


@require_POST
def clean_sign_off(request: HttpRequest, name: str) -> HttpResponse:
    """Sign Clean and descale off."""
    return http.sign_off(request, name, stations.CLEAN, page)
