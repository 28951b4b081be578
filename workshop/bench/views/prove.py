"""Prove: the station page, and its cards with one item at a time."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from workshop.bench import pages_card, pages_prove, stations
from workshop.bench.cards import Item
from workshop.bench.facts.prove import AGAIN_CARD, ProveFacts
from workshop.bench.forms.prove import ReadingForm, SkipForm
from workshop.bench.pages import not_measured
from workshop.bench.services import prove as services
from workshop.bench.words import NotPossible
from workshop.core import http
from workshop.core import services as core
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry, Reading
from workshop.core.templatetags.measures import day


@require_GET
def prove(request: HttpRequest, name: str) -> HttpResponse:
    """Show the station."""
    return page(request, name)


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the station, with a refused sign-off's sentences on top."""
    job = http.job_of(name)
    facts = _facts(job)
    context: dict[str, Any] = {
        "job": job,
        "rows": pages_prove.prove_rows(job, facts),
        "cards": pages_prove.card_lines(job, facts),
        "more": pages_prove.more_items(job, facts),
        "not_measured": not_measured(job),
        "bench_url": pages_card.next_url(job, facts),
        "pulls": facts.dial_in is not None,
        **pages_prove.shots_line(facts),
        "full": facts.full,
        "failed": bool(facts.stopped()),
        "sign_off_form": http.fresh_sign_off(stations.PROVE, facts),
        "form": form,
    }
    return render(request, "bench/prove.html", context, status=status)


def _facts(job: Job) -> ProveFacts:
    return stations.PROVE.facts([job.pk])[job.pk]


@require_GET
def card(request: HttpRequest, name: str, card: str) -> HttpResponse:
    """Show a card at one item."""
    return _card(request, name, card, request.GET.get("item", ""), again="again" in request.GET)


def _card(
    request: HttpRequest,
    name: str,
    code: str,
    item: str,
    form: ActForm | None = None,
    status: int = 200,
    *,
    again: bool = False,
) -> HttpResponse:
    job = http.job_of(name)
    facts = _facts(job)
    found = facts.card(code, item)
    if found is None:
        return _elsewhere(job, facts, code)
    shown = pages_card.card_page(job, facts, found, item, again=again or form is not None, today=http.today())
    newest = shown.standing.reading
    seen: dict[str, Any] = {"version": newest.pk if newest else 0}
    reason = {"reason": NotPossible.LEFT} if shown.failed else {}
    reading = form if isinstance(form, ReadingForm) else _fresh(shown.item, facts, seen)
    context = {
        "job": job,
        "page": shown,
        "form": form or reading,
        "reading_form": reading,
        "skip_form": form if isinstance(form, SkipForm) else SkipForm(initial=seen | reason, failed=bool(shown.failed)),
        "can_skip": not shown.item.stop,
        "calibration": _calibration(reading, job),
    }
    return render(request, "bench/card.html", context, status=status)


def _elsewhere(job: Job, facts: ProveFacts, code: str) -> HttpResponse:
    """Lead on from a card whose items are all asked on another one now."""
    if code not in {card.code for card in facts.every_card} | {AGAIN_CARD}:
        raise Http404("This machine has no such card.")
    return redirect(pages_card.next_url(job, facts))


def _fresh(item: Item, facts: ProveFacts, seen: dict[str, Any]) -> ReadingForm:
    return ReadingForm(item=item, test_volts=facts.unit.test_volts, initial=seen)


def _calibration(form: ReadingForm, job: Job) -> str:
    field = form.fields.get("instrument")
    if field is None or not field.initial:
        return ""
    instrument = field.queryset.filter(pk=field.initial).first()  # type: ignore[attr-defined]
    due = instrument.calibration_due_on if instrument else None
    return f"{instrument}: calibration was due {day(due)}." if due and due < http.today() else ""


def _answer(request: HttpRequest, name: str, card_code: str, item: str, form: ActForm, do: Any) -> HttpResponse:
    return http.answer(
        request,
        form,
        do=do,
        to=lambda entry: pages_card.after_url(name, card_code, item, entry.after.get("outcome", "")),
        page=lambda f, status: _card(request, name, card_code, item, f, status),
    )


def _item(job: Job, code: str) -> Any:
    standing = _facts(job).states.get(code)
    if standing is None:
        raise Http404("This machine has no such item.")
    return standing.item


@require_POST
def reading_add(request: HttpRequest, name: str, card: str, item: str) -> HttpResponse:
    """Record a reading, or what was seen."""
    job = http.job_of(name)
    form = ReadingForm(request.POST, item=_item(job, item))

    def do(act: Act) -> JournalEntry:
        return services.read(act, job, item, form.typed, seen=form.seen_version)

    return _answer(request, name, card, item, form, do)


@require_POST
def item_skip(request: HttpRequest, name: str, card: str, item: str) -> HttpResponse:
    """Say that an item is not possible, and why."""
    job = http.job_of(name)
    _item(job, item)
    form = SkipForm(request.POST)

    def do(act: Act) -> JournalEntry:
        return services.skip(act, job, item, **form.values, seen=form.seen_version)

    return _answer(request, name, card, item, form, do)


@require_POST
def unit_stop(request: HttpRequest, name: str, card: str, item: str) -> HttpResponse:
    """Stop the unit: it waits for a decision."""
    job = http.job_of(name)
    _item(job, item)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.stop_unit(act, job, item),
        to=reverse("bench:do_not_use", args=[name]),
        page=lambda f, status: _card(request, name, card, item, f, status),
    )


@require_GET
def do_not_use(request: HttpRequest, name: str) -> HttpResponse:
    """Show the do-not-use tag of a unit with failed stop items, to print and tie on."""
    job = http.job_of(name)
    return render(request, "bench/do_not_use.html", {"job": job, "rows": pages_prove.failed(_facts(job))})


@require_POST
def reading_strike(request: HttpRequest, name: str, card: str, pk: int) -> HttpResponse:
    """Take a reading back as a slip."""
    job = http.job_of(name)
    reading = get_object_or_404(Reading.objects.select_related("job__machine"), pk=pk, job=job)
    return _answer(
        request, name, card, reading.item, ActForm(request.POST), lambda act: core.strike_reading(act, reading)
    )


@require_POST
def prove_sign_off(request: HttpRequest, name: str) -> HttpResponse:
    """Sign Prove off."""
    return http.sign_off(request, name, stations.PROVE, page)
