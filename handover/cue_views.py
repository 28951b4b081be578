"""Cue cards: one on the screen, all on paper; and the film that was made with them."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from handover import cues, films, views
from handover.counter_forms import FilmBackForm, FilmForm
from handover.models import Sheet
from workshop.core import http


@require_GET
def cue_card(request: HttpRequest, name: str, number: int) -> HttpResponse:
    """Show one card; a number past the last leads to the end card."""
    job = http.job_of(name)
    deck = cues.deck(job, http.today())
    if not 1 <= number <= len(deck.cards):
        return redirect("handover:cue_end", name)
    back = reverse("handover:cue_card", args=[name, number - 1]) if number > 1 else ""
    onward = reverse("handover:cue_card", args=[name, number + 1]) if number < len(deck.cards) else ""
    context: dict[str, Any] = {
        "job": job,
        "deck": deck,
        "card": deck.cards[number - 1],
        "progress": f"{number} of {len(deck.cards)}",
        "back": back,
        "next": onward or reverse("handover:cue_end", args=[name]),
        "to_mend": bool(deck.lacks) and number == 1,
    }
    return render(request, "handover/cue_card.html", context)


@require_GET
def cue_end(request: HttpRequest, name: str) -> HttpResponse:
    """Show the end card: that is all; then the film and the paper."""
    job = http.job_of(name)
    deck = cues.deck(job, http.today())
    context = {
        "job": job,
        "deck": deck,
        "minutes": cues.MINUTES,
        "back": reverse("handover:cue_card", args=[name, len(deck.cards)]),
        "film": films.standing(job),
        "sheet": Sheet.objects.filter(job=job).order_by("-number").first(),
    }
    return render(request, "handover/cue_end.html", context)


@require_GET
def cue_print(request: HttpRequest, name: str) -> HttpResponse:
    """Show all cards on one plain page, to be printed."""
    job = http.job_of(name)
    return render(request, "handover/cue_print.html", {"job": job, "deck": cues.deck(job, http.today())})


@require_POST
def film_keep(request: HttpRequest, name: str) -> HttpResponse:
    """Keep a film's address."""
    job = http.job_of(name)
    form = FilmForm(request.POST)
    return views.answer(request, name, form, lambda act: films.keep(act, job, **form.values), "film")


@require_POST
def film_take_back(request: HttpRequest, name: str) -> HttpResponse:
    """Take the film back."""
    film = films.standing(http.job_of(name))
    return views.answer(request, name, FilmBackForm(request.POST), lambda act: films.take_back(act, film), "film")
