"""Came back: what is asked before it comes in, the return opened beside the old record, its cause."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from handover import came_back as rows
from handover import messages, returns, timeline
from handover.return_forms import CauseForm, ReturnOpenForm
from workshop.bench import pages as bench_pages
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job, Place


@require_GET
def came_back(request: HttpRequest, name: str) -> HttpResponse:
    """Show the complaint beside what was measured, done and promised when it was sold."""
    return page(request, name)


def page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the page, with the refused form in its place."""
    job = http.job_of(name)
    found = rows.page(job, http.the_shop(), http.today(), shows_money=http.person(request).is_owner)
    if found is None:
        raise Http404("This machine was not sold from here.")
    context: dict[str, Any] = {
        "job": job,
        "page": found,
        "contact": timeline.of(job),
        "escape": bench_pages.escape_section(job) if found.asks_escape else None,
        "form": form,
        "open_form": form if isinstance(form, ReturnOpenForm) else _open_form(job) if found.can_open else None,
        "cause_form": form if isinstance(form, CauseForm) else _cause_form(found.back),
        "places": Place.objects.filter(retired=False).order_by("name", "pk"),
    }
    return render(request, "handover/came_back.html", context, status=status)


def _open_form(job: Job) -> ReturnOpenForm:
    """Begin with what the buyer wrote last and nobody has answered: it is in their words."""
    return ReturnOpenForm(initial={"complaint": messages.newest_words(job.machine)})


def _cause_form(back: Job | None) -> CauseForm | None:
    if back is None:
        return None
    return CauseForm(initial={"cause": back.cause, "cause_words": back.cause_words, "seen": back.cause})


@require_POST
def return_open(request: HttpRequest, name: str) -> HttpResponse:
    """Open the return: the machine is here."""
    job = http.job_of(name)
    form = ReturnOpenForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: returns.open_return(act, job, form.new),
        to=reverse("handover:came_back", args=[name]),
        page=lambda f, status: page(request, name, f, status),
    )


@require_POST
def cause_say(request: HttpRequest, name: str) -> HttpResponse:
    """Name why it came back."""
    job = http.job_of(name)
    form = CauseForm(request.POST)

    def do(act: Any) -> Any:
        values = form.values
        return returns.say_cause(act, job, cause=values["cause"], words=values["cause_words"], seen=values["seen"])

    return http.answer(
        request,
        form,
        do=do,
        to=reverse("handover:came_back", args=[name]) + "#cause",
        page=lambda f, status: page(request, name, f, status),
    )
