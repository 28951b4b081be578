"""The request's side of an act: who, when, which key; and one answer for every outcome."""

from collections.abc import Callable
from datetime import date
from typing import Any, cast

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.forms import CharField, HiddenInput
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone

from workshop.core import acts, forms, services, stations
from workshop.core.models import Job, JournalEntry, Shop, User
from workshop.core.words import full_stop

Page = Callable[..., HttpResponse]


def person(request: HttpRequest) -> User:
    """Return the signed-in person (the middleware lets nobody else through)."""
    return cast(User, request.user)


def owner_only(request: HttpRequest) -> None:
    """Let only the owner go on. :raises PermissionDenied: for anybody else."""
    if not person(request).is_owner:
        raise PermissionDenied("Only the owner of the workshop may do this.")


def act(request: HttpRequest, form: forms.ActForm) -> acts.Act:
    """Return who acts, now, with the key of the form pressed. The clock is read here and in commands only."""
    key = form.cleaned_data.get("key") or None
    return acts.Act(by=person(request), at=timezone.now(), key=key if key and len(key) <= 64 else None)


def today() -> date:
    """Return the workshop's date now (the clock is read here and in commands only)."""
    return timezone.localdate()


def the_shop() -> Shop:
    """Return the workshop. :raises Http404: before it is set up (the middleware leads to the set-up page)."""
    return get_object_or_404(Shop, pk=1)


def job_of(name: str) -> Job:
    """Return the machine's open job, or its latest, with machine, notes and place. :raises Http404: no such name."""
    jobs = Job.objects.for_page().filter(machine__slug=name).order_by("closed_at", "-pk")
    open_first = jobs.filter(closed_at__isnull=True).first()
    return open_first or get_object_or_404(jobs.order_by("-pk")[:1])


def answer(
    request: HttpRequest,
    form: forms.ActForm,
    *,
    do: Callable[[acts.Act], JournalEntry],
    to: str | Callable[[JournalEntry], str],
    page: Callable[[forms.ActForm, int], HttpResponse],
    say: str | Callable[[JournalEntry], str] | None = None,
) -> HttpResponse:
    """Answer a pressed form: 422 with sentences, 409 with both versions, else redirect with the entry's words.

    A second press of the same form meets the first one's entry and gets the same redirect.
    """
    if not form.is_valid():
        return _here(page(form, 422))
    try:
        entry = do(act(request, form))
    except acts.AlreadyDone as done:
        entry = done.entry
    except acts.Refused as refused:
        for field, reason in refused.beside:
            form.add_error(field or None, reason)
        if isinstance(refused, acts.Odd):
            form = _asking(form, refused)
        return _here(page(form, 422))
    except acts.Stale as stale:
        return _here(page(_after_stale(form, stale), 409))
    words = say(entry) if callable(say) else say
    messages.success(request, words or full_stop(entry.sentence))
    return redirect(to(entry) if callable(to) else to)


def _here(response: HttpResponse) -> HttpResponse:
    """A refused page swapped in by htmx keeps its own address: the pressed one takes POST only and cannot reload."""
    response["HX-Push-Url"] = "false"
    return response


def _asking(form: forms.ActForm, odd: acts.Odd) -> forms.ActForm:
    """Keep what was typed and let a second press say yes to it."""
    data: Any = form.data.copy()  # type: ignore[attr-defined]  # a bound form holds a QueryDict
    data[form.add_prefix("sure")] = odd.about
    form.data = data
    form.asks = True  # type: ignore[attr-defined]  # read by the error summary and the button only
    return form


def _after_stale(form: forms.ActForm, stale: acts.Stale) -> forms.ActForm:
    """Keep what was typed, show what the row says now, and let a second press choose knowingly."""
    data: Any = form.data.copy()  # type: ignore[attr-defined]  # a bound form holds a QueryDict
    data[form.add_prefix("key")] = forms.new_key()
    if stale.version is not None:
        data[form.add_prefix("version")] = str(stale.version)
    form.data = data
    now = stale.now | form.in_words(stale.columns)
    form.stale = now or {"This page": "was saved by somebody else meanwhile"}  # type: ignore[attr-defined]  # read by the error summary only
    return form


class SignOffForm(forms.ActForm):
    """The button that finishes a station: it carries the fingerprint of the facts on the page."""

    seen = CharField(widget=HiddenInput, required=False, max_length=64)


def sign_off(request: HttpRequest, name: str, station: stations.Station[Any], page: Page) -> HttpResponse:
    """Serve a station's sign-off button: a refused one shows the station's page again, with what is missing."""
    job = job_of(name)
    return answer(
        request,
        SignOffForm(request.POST),
        do=lambda a: services.sign_off(a, station, job, seen=request.POST.get("seen", "")),
        to=job.machine.get_absolute_url(),
        page=lambda form, status: page(request, name, form, status),
    )


def fresh_sign_off(station: stations.Station[Any], facts: stations.Facts) -> SignOffForm:
    """Return an unpressed sign-off form for the facts on the page."""
    return SignOffForm(initial={"seen": stations.fingerprint(facts)})
