"""Keeping a note of a call or a message, and taking one back."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods, require_POST

from handover import contacts
from handover.contact_forms import ContactForm
from handover.models import BuyerMessage, ContactNote
from handover.words_after import ContactHow
from workshop.core import http
from workshop.core.forms import ActForm

ANCHOR = "#contact"


@require_http_methods(["GET", "POST"])
def contact_add(request: HttpRequest, name: str) -> HttpResponse:
    """Keep a note of a call or a message about a machine."""
    return _add(request, name, None)


@require_http_methods(["GET", "POST"])
def contact_about(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Keep a note about what the buyer wrote: it begins with their words."""
    message = get_object_or_404(BuyerMessage, pk=pk, link__job__machine__slug=name)
    return _add(request, name, message)


def _add(request: HttpRequest, name: str, message: BuyerMessage | None) -> HttpResponse:
    job = http.job_of(name)

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "job": job, "message": message}
        return render(request, "handover/contact_add.html", context, status=status)

    if request.method != "POST":
        first = {"how": ContactHow.MESSAGE, "asked": message.told} if message else {}
        return page(ContactForm(initial={"happened_on": http.today(), **first}), 200)
    form = ContactForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: contacts.keep(act, job, form.new, message),
        to=job.machine.get_absolute_url() + ANCHOR,
        page=page,
    )


@require_POST
def contact_take_back(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take a note back."""
    rows = ContactNote.objects.select_related("job__machine", "message")
    note = get_object_or_404(rows, pk=pk, machine__slug=name)

    def page(form: ActForm, status: int) -> HttpResponse:
        context = {"form": form, "job": http.job_of(name)}
        return render(request, "handover/contact_refused.html", context, status=status)

    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: contacts.take_back(act, note),
        to=note.machine.get_absolute_url() + ANCHOR,
        page=page,
    )
