"""People, for the owner: find one, give them what is held of them, forget them, and whose day in the book has come."""

from contextlib import suppress

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from workshop.core import http
from workshop.core.acts import AlreadyDone
from workshop.core.forms import ActForm
from workshop.core.models import LockedIdentity, Person
from workshop.desk import erasing
from workshop.desk import people as rows
from workshop.desk.forms import EraseForm, ExportForm, ForgetDueForm
from workshop.trade.money.rules import TaxRule
from workshop.trade.privacy import retention


@require_GET
def people(request: HttpRequest) -> HttpResponse:
    """Show people, what is kept of them and how long."""
    http.owner_only(request)
    return _people_page(request, ForgetDueForm(), 200)


def _people_page(request: HttpRequest, form: ActForm, status: int) -> HttpResponse:
    shop, words = http.the_shop(), request.GET.get("q", "").replace("\x00", "").strip()[:80]
    context = {
        "words": words,
        "rows": rows.rows(words),
        "shown": rows.SHOWN,
        "kept": retention.table(shop.country, TaxRule(shop.tax_rule)),
        "locked": LockedIdentity.objects.count(),
        "due": rows.due(http.today()),
        "answer_in": retention.ANSWER_DAYS.value,
        "form": form,
        "nav": "people",
    }
    return render(request, "desk/people.html", context, status=status)


@require_GET
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what is held of one person, and what they may ask for."""
    http.owner_only(request)
    return _person_page(request, get_object_or_404(Person, pk=pk), EraseForm(), 200)


def _person_page(request: HttpRequest, row: Person, form: ActForm, status: int) -> HttpResponse:
    locked = LockedIdentity.objects.filter(person=row).first()
    context = {
        "person": row,
        "held": [(name, len(lines)) for name, lines in rows.held(row).items()],
        "blocks": [] if row.erased_at else rows.blocks(row),
        "book": rows.book(row),
        "locked": locked,
        "form": form,
        "export_form": ExportForm(),
        "nav": "people",
    }
    return render(request, "desk/person.html", context, status=status)


@require_POST
def person_export(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the file of all that is held of a person; that it was given stands in the journal."""
    http.owner_only(request)
    row, form = get_object_or_404(Person, pk=pk), ExportForm(request.POST)
    if not form.is_valid():
        return _person_page(request, row, form, 422)
    act = http.act(request, form)
    with suppress(AlreadyDone):  # the same press again gives the same file
        erasing.export(act, row)
    response = HttpResponse(erasing.file_of(row, timezone.localtime(act.at)), content_type="application/json")
    response["Content-Disposition"] = f'attachment; filename="all-we-hold-{row.pk}.json"'
    response["Cache-Control"] = "no-store"
    return response


@require_POST
def person_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """Erase a person on request."""
    http.owner_only(request)
    row, form = get_object_or_404(Person, pk=pk), EraseForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: erasing.erase(act, row, until_on=form.values["until_on"]),
        to=reverse("person", args=[pk]),
        page=lambda f, status: _person_page(request, row, f, status),
    )


@require_POST
def people_forget_due(request: HttpRequest) -> HttpResponse:
    """Take those out of the book whose day has come."""
    http.owner_only(request)
    return http.answer(
        request,
        ForgetDueForm(request.POST),
        do=lambda act: erasing.forget_due(act, http.today()),
        to=reverse("people"),
        page=lambda f, status: _people_page(request, f, status),
    )
