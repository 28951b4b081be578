"""A place kept and come back to, the word on fast answers, and what should have caught a machine that came back."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_POST

from workshop.bench import escapes, pages_card, stations
from workshop.bench.forms.discipline import EscapeForm, ReturnForm
from workshop.bench.services import escapes as escape_services
from workshop.bench.services import pauses as pause_services
from workshop.bench.services import tempo as tempo_services
from workshop.bench.views import prove
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry


@require_POST
def pause(request: HttpRequest, name: str, card: str, item: str) -> HttpResponse:
    """Keep the place at one item."""
    job = http.job_of(name)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: pause_services.pause(act, job, item),
        to=job.machine.get_absolute_url(),
        page=lambda form, status: prove.card_page(request, name, card, item, form, status),
    )


@require_POST
def come_back(request: HttpRequest, name: str, card: str) -> HttpResponse:
    """Say whether the last thing done is still so; a no leads to that item, to be measured again or taken back."""
    job, form = http.job_of(name), ReturnForm(request.POST)
    facts = stations.PROVE.facts([job.pk])[job.pk]
    last = next((row.item for row in reversed(facts.answers) if row.card == card), "")

    def do(act: Act) -> JournalEntry:
        still_so = form.values["still"] == "yes"
        return pause_services.come_back(act, job, seen=form.seen_version, still_so=still_so)

    def to(_: JournalEntry) -> str:
        if form.values["still"] == "no" and last:
            return pages_card.card_url(name, card, last, "&again=1&not_so=1")
        return pages_card.card_url(name, card)

    return http.answer(
        request, form, do=do, to=to, page=lambda f, status: prove.card_page(request, name, card, "", f, status)
    )


@require_POST
def looked_at(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Keep a person's word that fast answers were looked at."""
    job = http.job_of(name)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: tempo_services.looked_at(act, job, pk),
        to=reverse("bench:prove", args=[name]) + "#sign-off",
        page=lambda form, status: prove.page(request, name, form, status),
    )


def escape_answer(request: HttpRequest, name: str) -> HttpResponse:
    """Ask which check should have caught why a machine came back, and keep the answer."""
    job = http.job_of(name)
    if not escapes.asked(job):
        raise Http404("This machine did not come back.")
    checks = escapes.checks(job)

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "job": job, "answer": escapes.answers([job.pk]).get(job.pk)}
        return render(request, "bench/escape_answer.html", context, status=status)

    if request.method != "POST":
        return page(EscapeForm(checks=checks), 200)
    form = EscapeForm(request.POST, checks=checks)
    return http.answer(
        request,
        form,
        do=lambda act: escape_services.answer(act, job, **form.answer),
        to=job.machine.get_absolute_url(),
        page=page,
    )
