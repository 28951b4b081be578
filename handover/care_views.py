"""Care due this week, its reminders, and the buyer's consent to them."""

from collections.abc import Callable
from datetime import date
from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from handover import care_due as due_rows
from handover import consents, contacts, mail, reminders
from handover.care_due import Due
from handover.care_forms import ConsentForm
from handover.models import Consent
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry, Person


@require_GET
def care_due(request: HttpRequest) -> HttpResponse:
    """Show the sold machines with care due this week, each with the words to copy."""
    return page(request)


def page(request: HttpRequest, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    """Show the list, with a refused press on top."""
    rows = due_rows.this_week(http.today())
    context: dict[str, Any] = {
        "rows": [(row, due_rows.state_words(row)) for row in rows],
        "to_queue": sum(row.can_mail and row.reminder is None for row in rows),
        "mail": mail.is_set(),
        "queue_form": ActForm(),
        "form": form,
    }
    return render(request, "handover/care_due.html", context, status=status)


def _press(request: HttpRequest, do: Callable[[Act], JournalEntry], anchor: str = "") -> HttpResponse:
    to = reverse("handover:care_due") + (f"#{anchor}" if anchor else "")
    return http.answer(
        request, ActForm(request.POST), do=do, to=to, page=lambda form, status: page(request, form, status)
    )


@require_POST
def care_queue(request: HttpRequest) -> HttpResponse:
    """Queue every e-mail that was agreed to."""
    return _press(request, lambda act: reminders.queue(act, act.day))


@require_POST
def care_send(request: HttpRequest, name: str, day: str) -> HttpResponse:
    """Send one reminder now."""
    row = _due(name, day)
    return _press(request, lambda act: reminders.send_now(act, row), row.anchor)


@require_POST
def care_told(request: HttpRequest, name: str, day: str) -> HttpResponse:
    """Note that the buyer was told."""
    row = _due(name, day)
    return _press(request, lambda act: reminders.tell(act, row), row.anchor)


def _due(name: str, day: str) -> Due:
    """Return what falls due at a machine on a day. :raises Http404: when nothing does."""
    try:
        due_on = date.fromisoformat(day)
    except ValueError as unreadable:
        raise Http404("No such day.") from unreadable
    for sale in Job.objects.filter(machine__slug=name, care_dates__due_on=due_on).distinct():
        if row := due_rows.one(sale, due_on):
            return row
    raise Http404("Nothing falls due on that day.")


@require_http_methods(["GET", "POST"])
def consent_record(request: HttpRequest, name: str) -> HttpResponse:
    """Record that the buyer agreed to e-mail."""
    job = http.job_of(name)
    buyer = _buyer(job)

    def shown(form: ActForm, status: int) -> HttpResponse:
        standing = consents.of_people([buyer.pk]).get(buyer.pk)
        context = {"form": form, "job": job, "buyer": buyer, "consent": standing}
        return render(request, "handover/consent_record.html", context, status=status)

    if request.method != "POST":
        return shown(ConsentForm(initial={"email": buyer.email, "given_on": http.today()}), 200)
    form = ConsentForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: consents.record(act, job, buyer, form.new),
        to=reverse("handover:consent_record", args=[name]),
        page=shown,
    )


@require_POST
def consent_withdraw(request: HttpRequest, name: str) -> HttpResponse:
    """Withdraw the buyer's consent."""
    job = http.job_of(name)
    row = get_object_or_404(Consent, person=_buyer(job), withdrawn_at__isnull=True)

    def shown(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "job": job, "buyer": row.person, "consent": row}
        return render(request, "handover/consent_record.html", context, status=status)

    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: consents.withdraw(act, job, row),
        to=reverse("handover:consent_record", args=[name]),
        page=shown,
    )


def _buyer(job: Job) -> Person:
    buyer = contacts.buyer_of(job)
    if buyer is None:
        raise Http404("Nobody is named as the buyer.")
    return buyer
