"""The recipe: chosen from shots that agree, its words put right."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from workshop.bench import pages_card, pages_dose, pages_recipe
from workshop.bench.forms.recipe import RecipeForm
from workshop.bench.services import recipe as services
from workshop.bench.views.shots import known
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry


def recipe_set(request: HttpRequest, name: str) -> HttpResponse:
    """Press the shots a recipe rests on; its words can be put right, its numbers cannot be typed."""
    job = http.job_of(name)
    facts, dial_in = known(job)
    again = "again" in request.GET or (request.method == "POST" and not request.POST.get("version"))
    standing = None if again else pages_recipe.recipe_to_change(facts)
    weighed = pages_dose.weighings(job, facts)
    measured = pages_recipe.measured(facts, standing)
    fit: dict[str, Any] = {
        "rows": None if standing else pages_recipe.to_press(dial_in),
        "measured": measured,
        "built_in": dial_in.built_in,
        "gauge": job.machine.notes.has_gauge,
        "hints": pages_recipe.notes_say(job) | pages_recipe.weighed_says(weighed),
    }

    def setting(form: ActForm, status: int) -> HttpResponse:
        context = {
            "job": job,
            "form": form,
            "standing": standing,
            "has_shots": bool(dial_in.rows),
            "rests_on": pages_recipe.rests_on(standing, dial_in) if standing else "",
            "why_not": pages_recipe.why_not(dial_in),
            "measured": pages_recipe.measured_rows(measured, pages_recipe.buttons(facts, weighed, standing)),
            "built_in": dial_in.built_in,
            "blocked": None if standing else pages_card.no_mains(job, facts),
        }
        return render(request, "bench/recipe_set.html", context, status=status)

    if request.method != "POST":
        return setting(RecipeForm(initial=pages_recipe.proposed(job, facts, weighed, again=again), **fit), 200)
    form = RecipeForm(request.POST, **fit)

    def do(act: Act) -> JournalEntry:
        if standing is not None:
            return services.change_recipe(act, standing, form.seen_version, form.values)
        return services.set_recipe(act, job, form.values, shots=form.chosen)

    return http.answer(request, form, do=do, to=reverse("bench:shots", args=[name]), page=setting)
