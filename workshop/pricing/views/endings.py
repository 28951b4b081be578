"""Ending a job: stripped, scrapped, given back or kept, each with what still stands in its way; and its paper."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry
from workshop.core.words import ClosedAs, JobKind
from workshop.parts.models import Part
from workshop.pricing import gates, pages_endings, services
from workshop.pricing.forms_decide import GiveBackForm, GiveHomeForm, KeepForm, ScrapForm, StripForm

Do = Callable[[Act, Job, Any], JournalEntry]


@dataclass(frozen=True, slots=True)
class _End:
    """One way a job ends, as its page says it."""

    closed_as: ClosedAs
    title: str
    words: str
    button: str
    form: type[ActForm]
    do: Do


_STRIP = _End(
    ClosedAs.STRIPPED,
    "Strip it for parts",
    "What you keep goes into the drawer at the value you state here. The job then ends.",
    "It is stripped",
    StripForm,
    lambda act, job, form: services.strip(act, job, lines=form.lines, words=form.values["words"]),
)
_SCRAP = _End(
    ClosedAs.SCRAPPED,
    "Scrap it",
    "Nothing is kept. Cut the cord off first: that is common practice, so that nobody plugs it in again.",
    "It is scrapped",
    ScrapForm,
    lambda act, job, form: services.scrap(act, job, **form.values),
)
_BACK = _End(
    ClosedAs.GIVEN_BACK,
    "Give it back",
    "It goes back to its seller, with what came with it.",
    "It is given back",
    GiveBackForm,
    lambda act, job, form: services.give_back(act, job, **form.values),
)
_HOME = _End(
    ClosedAs.GIVEN_BACK,
    "Give it back",
    "It came back and goes home to its buyer, proved again, with the next sheet. Print the paper and give it along.",
    "It is given back",
    GiveHomeForm,
    lambda act, job, form: services.give_back(act, job, **form.values),
)
_KEEP = _End(
    ClosedAs.KEPT,
    "Keep it",
    "The workshop keeps it: to use it, or to sell it again under a new log. "
    "Ask whoever does the accounts what that means for tax.",
    "It is kept",
    KeepForm,
    lambda act, job, form: services.keep(act, job, **form.values),
)


@require_http_methods(["GET", "POST"])
def strip(request: HttpRequest, name: str) -> HttpResponse:
    """Strip a machine for parts."""
    return _end(request, name, _STRIP)


@require_http_methods(["GET", "POST"])
def scrap(request: HttpRequest, name: str) -> HttpResponse:
    """Scrap a machine."""
    return _end(request, name, _SCRAP)


@require_http_methods(["GET", "POST"])
def give_back(request: HttpRequest, name: str) -> HttpResponse:
    """Give a machine back to its seller, or home to its buyer when it came back."""
    return _end(request, name, _HOME if http.job_of(name).kind == JobKind.CAME_BACK else _BACK)


@require_http_methods(["GET", "POST"])
def keep(request: HttpRequest, name: str) -> HttpResponse:
    """Keep a machine for the workshop."""
    return _end(request, name, _KEEP)


def _end(request: HttpRequest, name: str, how: _End) -> HttpResponse:
    http.owner_only(request)
    job, shop = http.job_of(name), http.the_shop()

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"job": job, "form": form, "how": how, "blocks": gates.before(job, how.closed_as, http.today())}
        if isinstance(form, StripForm):
            context["drawer"] = Part.objects.order_by("name").values_list("name", flat=True)
        return render(request, "pricing/end.html", context, status=status)

    if request.method != "POST":
        return page(how.form(currency=shop.currency), 200)
    form = how.form(request.POST, currency=shop.currency)
    to = reverse("pricing:ended", args=[name])
    return http.answer(request, form, do=lambda act: how.do(act, job, form), to=to, page=page)


@require_GET
def ended(request: HttpRequest, name: str) -> HttpResponse:
    """Show the paper of how the job ended, to print."""
    http.owner_only(request)
    job = http.job_of(name)
    row = pages_endings.standing(job)
    if row is None:
        raise Http404("This job has no such paper.")
    return render(request, "pricing/ended.html", {"job": job, "paper": pages_endings.paper(row, http.the_shop())})
