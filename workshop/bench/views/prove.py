"""Prove: the station page, and its cards with one item at a time."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from intake import uploads
from workshop.bench import pages_card, pages_instruments, pages_prove, pages_return, pauses, stations, tempo
from workshop.bench.cards import Item
from workshop.bench.facts.prove import AGAIN_CARD, SAFE_CARD, ItemState, ProveFacts, Standing
from workshop.bench.forms.limits import FullSetForm, ItemPhotoForm
from workshop.bench.forms.prove import ReadingForm, SkipForm, StrikeForm
from workshop.bench.pages import not_measured
from workshop.bench.services import prove as services
from workshop.bench.services.item_photos import add_item_photos, photos_of
from workshop.bench.words import NotPossible
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm, VersionedForm
from workshop.core.models import Job, JournalEntry, Reading


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
        "set_words": pages_prove.set_words(facts),
        "asks_full": bool(facts.full_because) and not facts.touched,
        "full_form": form if isinstance(form, FullSetForm) else FullSetForm() if not facts.full else None,
        "limits_words": pages_prove.limits_words(facts),
        "limits_differ": facts.kept.differs,
        "failed": bool(facts.stopped()),
        "spot_rows": pages_prove.spot_rows(job, facts),
        "spot_alone": bool(facts.spot and facts.spot.alone),
        "hurries": (hurries := tempo.questions(job, facts)),
        "hurries_head": tempo.head(hurries),
        "sign_off_form": http.fresh_sign_off(stations.PROVE, facts),
        "form": form,
    }
    return render(request, "bench/prove.html", context, status=status)


def _facts(job: Job) -> ProveFacts:
    return stations.PROVE.facts([job.pk])[job.pk]


@require_GET
def card(request: HttpRequest, name: str, card: str) -> HttpResponse:
    """Show a card at one item."""
    get = request.GET
    return card_page(request, name, card, get.get("item", ""), again="again" in get, second="second" in get)


def card_page(
    request: HttpRequest,
    name: str,
    code: str,
    item: str,
    form: ActForm | None = None,
    status: int = 200,
    *,
    again: bool = False,
    second: bool = False,
) -> HttpResponse:
    """Show a card at one item, with a refused form in its place, or what is asked on coming back to it."""
    job = http.job_of(name)
    facts = _facts(job)
    found = facts.card(code, item)
    if found is None:
        return _elsewhere(job, facts, code)
    standing = pages_card.choose(facts, found, item)
    second = _is_second(form, standing, asked=second, again=again)
    again = again or isinstance(form, ReadingForm)
    shown = pages_card.card_page(job, facts, found, item, again=again, second=second, today=http.today())
    seen: dict[str, Any] = {"version": standing.newest_pk}
    asks = pages_instruments.asks_of(shown.item, shown.limit, http.today())
    reason = {"reason": NotPossible.LEFT} if shown.failed else {}
    typed = form if isinstance(form, ReadingForm) else None
    by_tester = typed is not None and "answer" in typed.fields and not shown.item.seen
    fresh = seen | {"second_look": second}
    reading = typed if typed and not by_tester else _fresh(shown.item, facts, fresh)
    tester = typed if by_tester else _fresh(shown.item, facts, fresh, tester=True)
    pause = None if job.closed_at else pauses.standing([job.pk]).get(job.pk)
    context = {
        "back": pages_return.back_to(facts, pause, http.today()),
        "not_so": "not_so" in request.GET,
        "photo_open": "photo" in request.GET,
        "seen": seen["version"],
        "job": job,
        "page": shown,
        "form": form or reading,
        "reading_form": reading,
        "tester_form": tester if asks.testers else None,
        "asks": asks,
        "strike_form": form if isinstance(form, StrikeForm) else StrikeForm(initial={"version": shown.undo_version}),
        "refused": typed is not None and not getattr(typed, "stale", None) and bool(typed.non_field_errors()),
        "photo_form": form if isinstance(form, ItemPhotoForm) else ItemPhotoForm(auto_id="photos_%s"),
        "photos": photos_of(job, shown.item) if shown.item.opens_case else [],
        "safe_card": found.code in (SAFE_CARD, AGAIN_CARD),
        "skip_form": form if isinstance(form, SkipForm) else SkipForm(initial=seen | reason, failed=bool(shown.failed)),
        "can_skip": not shown.item.stop,
    }
    return render(request, "bench/card.html", context, status=status)


def _elsewhere(job: Job, facts: ProveFacts, code: str) -> HttpResponse:
    """Lead on from a card whose items are all asked on another one now."""
    if code not in {card.code for card in facts.every_card} | {AGAIN_CARD}:
        raise Http404("This machine has no such card.")
    return redirect(pages_card.next_url(job, facts))


def _is_second(form: ActForm | None, standing: Standing, *, asked: bool, again: bool) -> bool:
    """Say whether the boxes are for a second look: asked for by the page, or wanted, unless it is all read anew."""
    if isinstance(form, ReadingForm):
        return form["second_look"].value() in (True, "True")
    return standing.state is ItemState.PASSED and (asked or (standing.wants_second and not again))


def _fresh(item: Item, facts: ProveFacts, seen: dict[str, Any], *, tester: bool = False) -> ReadingForm:
    auto_id = "tester-%s" if tester else "readingform-%s"  # both may stand on one page
    return ReadingForm(item=item, test_volts=facts.unit.test_volts, tester=tester, initial=seen, auto_id=auto_id)


def _answer(request: HttpRequest, name: str, card_code: str, item: str, form: ActForm, do: Any) -> HttpResponse:
    return http.answer(
        request,
        form,
        do=do,
        to=lambda entry: pages_card.after_url(name, card_code, item, entry.after.get("outcome", "")),
        page=lambda f, status: card_page(request, name, card_code, item, f, status),
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
    asked = _item(job, item)
    tester = "answer" in request.POST and not asked.seen
    form = ReadingForm(request.POST, item=asked, tester=tester, auto_id="tester-%s" if tester else "readingform-%s")

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
    form = VersionedForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: services.stop_unit(act, job, item, seen=form.seen_version),
        to=reverse("bench:do_not_use", args=[name]),
        page=lambda f, status: card_page(request, name, card, item, f, status),
    )


@require_GET
def do_not_use(request: HttpRequest, name: str) -> HttpResponse:
    """Show the do-not-use tag of a unit with failed stop items, to print and tie on."""
    job = http.job_of(name)
    return render(request, "bench/do_not_use.html", {"job": job, "rows": pages_prove.failed(_facts(job))})


@require_POST
def item_photo_add(request: HttpRequest, name: str, card: str, item: str) -> HttpResponse:
    """Add photos of one item."""
    job = http.job_of(name)
    _item(job, item)
    received = uploads.receive(request)
    form = ItemPhotoForm(uploads.with_kept(request.POST, received), received=received, auto_id="photos_%s")
    return http.answer(
        request,
        form,
        do=lambda act: add_item_photos(act, job, item, form.photos_kept),
        to=pages_card.card_url(name, card, item),
        page=lambda f, status: card_page(request, name, card, item, f, status),
    )


@require_POST
def reading_strike(request: HttpRequest, name: str, card: str, pk: int) -> HttpResponse:
    """Take a reading back as a slip."""
    job = http.job_of(name)
    reading = get_object_or_404(Reading.objects.select_related("job__machine"), pk=pk, job=job)
    form = StrikeForm(request.POST)

    def do(act: Act) -> JournalEntry:
        return services.strike(act, job, reading, seen=form.seen_version, sure=form.values["sure"])

    return _answer(request, name, card, reading.item, form, do)


@require_POST
def prove_sign_off(request: HttpRequest, name: str) -> HttpResponse:
    """Sign Prove off."""
    return http.sign_off(request, name, stations.PROVE, page)
