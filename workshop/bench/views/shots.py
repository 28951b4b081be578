"""Test shots: what to try next, the chart, the table, a shot added."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.bench import earlier, pages_card, pages_dose, pages_next, pages_recipe, pages_shots, stations
from workshop.bench.dialin import DialIn
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.forms.shots import ShotForm
from workshop.bench.models import Shot
from workshop.bench.services import shots as services
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job
from workshop.core.templatetags.measures import measure


@require_GET
def shots(request: HttpRequest, name: str) -> HttpResponse:
    """Show the shots of one machine."""
    return page(request, name)


def known(job: Job) -> tuple[ProveFacts, DialIn]:
    facts = stations.PROVE.facts([job.pk])[job.pk]
    if facts.dial_in is None:
        raise Http404("A grinder alone pulls no shots.")
    return facts, facts.dial_in


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the shots, with the refused form in its place."""
    job = http.job_of(name)
    facts, dial_in = known(job)
    dial_in = earlier.with_earlier(dial_in, job)
    context: dict[str, Any] = {
        "job": job,
        "next_try": pages_next.next_try(dial_in, proved=facts.recipe_holds()),
        "contradiction": pages_next.contradiction(dial_in),
        "target": pages_shots.target_words(dial_in),
        "target_yield": measure(dial_in.target.yield_g, "g"),
        "chart": pages_shots.chart(dial_in, facts.recipe if facts.recipe_holds() else None),
        "chances": pages_next.chances(dial_in),
        "rows": pages_shots.rows(dial_in),
        "blocked": pages_card.no_mains(job, facts),
        "carried": pages_shots.carried(dial_in, http.today()),
        "shot_form": form if isinstance(form, ShotForm) else _fresh(job, dial_in),
        "pair": dial_in.pair(),
        "why_not": pages_recipe.why_not(dial_in),
        "recipe": facts.recipe if facts.recipe_holds() else None,
        "built_in": dial_in.built_in,
        "rests_on": pages_recipe.rests_on(facts.recipe, dial_in) if facts.recipe else "",
        "burrs": pages_dose.burrs_words(facts.burrs),
        "set_apart": dial_in.set_apart,
        "form": form,
    }
    return render(request, "bench/shots.html", context, status=status)


def _fresh(job: Job, dial_in: DialIn) -> ShotForm:
    """Return an empty form; what did not change since the last shot is carried over, readings never are."""
    last = dial_in.rows[-1] if dial_in.rows else None
    baskets = job.machine.notes.baskets.splitlines()
    first = baskets[0].partition("|")[0].strip() if baskets else ""
    carried = {"setting": last.setting_words, "basket": last.basket, "coffee": last.coffee_id} if last else {}
    return _shot_form(job, dial_in, initial={"basket": first, **carried})


def _shot_form(job: Job, dial_in: DialIn, *args: Any, **kwargs: Any) -> ShotForm:
    last = dial_in.rows[-1].setting_words if dial_in.rows else ""
    return ShotForm(*args, notes=job.machine.notes, last_setting=last, **kwargs)


@require_POST
def shot_add(request: HttpRequest, name: str) -> HttpResponse:
    """Add a shot."""
    job = http.job_of(name)
    _, dial_in = known(job)
    form = _shot_form(job, dial_in, request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.add_shot(act, job, form.pulled),
        to=reverse("bench:shots", args=[name]),
        page=lambda f, status: page(request, name, f, status),
    )


@require_POST
def shot_strike(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take a shot out."""
    job = http.job_of(name)
    shot = get_object_or_404(Shot.objects.select_related("job__machine"), pk=pk, job=job)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.strike_shot(act, shot),
        to=reverse("bench:shots", args=[name]),
        page=lambda f, status: page(request, name, f, status),
    )
