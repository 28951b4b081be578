"""The recipe: chosen from shots that agree, its words put right."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from workshop.bench import pages_card, pages_recipe
from workshop.bench.forms.recipe import RecipeForm
from workshop.bench.services import recipe as services
from workshop.bench.views.shots import known
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry


def recipe_set(request: HttpRequest, name: str) -> HttpResponse:
    """Make two shots that agree the recipe; its words can be put right, its numbers cannot be typed."""
    job = http.job_of(name)
    facts, dial_in = known(job)
    standing = pages_recipe.recipe_to_change(facts)

    def setting(form: ActForm, status: int) -> HttpResponse:
        context = {
            "job": job,
            "form": form,
            "pair": (standing.first_shot, standing.second_shot) if standing else dial_in.pair(),
            "why_not": pages_recipe.why_not(dial_in),
            "blocked": None if standing else pages_card.no_mains(job, facts),
        }
        return render(request, "bench/recipe_set.html", context, status=status)

    hints = pages_recipe.notes_say(job)
    if request.method != "POST":
        words = {"left_set_at": pages_recipe.left_set_at(dial_in)} | pages_recipe.proposed(job, facts)
        return setting(RecipeForm(initial=words, hints=hints), 200)
    form = RecipeForm(request.POST, hints=hints)

    def do(act: Act) -> JournalEntry:
        if standing is not None and form.cleaned_data.get("version") is not None:
            return services.change_recipe(act, standing, form.seen_version, form.values)
        measured = facts.states.get("ready")
        ready = measured is not None and measured.reading is not None
        return services.set_recipe(act, job, form.values, ready_measured=ready)

    return http.answer(request, form, do=do, to=reverse("bench:shots", args=[name]), page=setting)
