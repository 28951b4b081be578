"""Log a machine, and print its tag."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from intake import sameness, services, tags, uploads
from intake.forms import MachineLogForm
from workshop.core import http
from workshop.core.models import JournalEntry, Place

_LONG_WORD = 6  # letters that fit beside the code at 18 pt, seen on paper; longer ones are set at 16 pt


def machine_log(request: HttpRequest) -> HttpResponse:
    """Open a machine's first job."""
    shop = http.the_shop()
    if request.method != "POST":
        form = MachineLogForm(currency=shop.currency, initial={"acquired_on": timezone.localdate()})
        return _log_page(request, form, 200)
    received = uploads.receive(request)
    form = MachineLogForm(uploads.with_kept(request.POST, received), received=received, currency=shop.currency)
    return http.answer(
        request,
        form,
        do=lambda act: services.log_machine(act, shop, form.machine()),
        to=lambda entry: _after_log(entry, later="later" in request.POST),
        page=lambda f, status: _log_page(request, f, status),
        say=lambda entry: f"{entry.machine} is logged. Stick the tag on now.",
    )


def _after_log(entry: JournalEntry, *, later: bool) -> str:
    name = entry.machine.slug if entry.machine else ""
    return reverse("machine" if later else "intake:machine_tag", args=[name])


def _log_page(request: HttpRequest, form: Any, status: int) -> HttpResponse:
    places = Place.objects.filter(retired=False).order_by("name", "pk").values_list("name", flat=True)
    bearer = None
    if getattr(form, "asks", False):  # what it asks about is in no cleaned data: read the boxes as typed
        bearer = sameness.bearer(form.known.get(form["notes"].value()), form["serial"].value() or "")
    context = {"form": form, "places": places, "bearer": bearer}
    return render(request, "intake/machine_log.html", context, status=status)


@require_GET
def machine_tag(request: HttpRequest, name: str) -> HttpResponse:
    """Show the tag of a machine, ready to print."""
    machine = http.job_of(name).machine
    tag = tags.machine_tag(machine)
    context = {
        "machine": machine,
        "tag": tag,
        "long": max(map(len, machine.name.split())) > _LONG_WORD,
        "code": tags.code(tag.address),
        "only_here": tags.is_only_here(),
    }
    return render(request, "intake/machine_tag.html", context)
