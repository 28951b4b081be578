"""A sale: its receipt; one at a distance: its cancellation paper, and the days noted of it."""

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from handover import cancel_paper, distance, receipt_paper, views
from handover.distance_forms import DistanceForm
from handover.models import Reservation
from handover.tag_views import pdf_answer
from handover.words import DistanceFact
from workshop.core import http
from workshop.core.forms import ActForm


def _reservation(name: str) -> Reservation:
    """Return the reservation of the machine's sale: of the sale itself where it came back since."""
    job = http.job_of(name)
    rows = Reservation.objects.select_related("job__machine__notes", "sale", "buyer")
    row = rows.filter(job=job.first_job_id or job.pk, cancelled_at__isnull=True).first()
    if row is None:
        raise Http404("Nobody has reserved it.")
    return row


def _fact(word: str) -> DistanceFact:
    try:
        return DistanceFact(word.upper())
    except ValueError as unknown:
        raise Http404("No such fact is noted.") from unknown


@require_GET
def cancel_paper_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """The cancellation paper as PDF."""
    paper = cancel_paper.compose(_reservation(name))
    if paper is None:
        raise Http404("It was agreed in person.")
    back = reverse("handover:handover", args=[name]) + "#distance"
    return pdf_answer(request, f"{name}-cancel", lambda: cancel_paper.draw(paper), back, "Back to Hand over")


@require_GET
def receipt_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """The buyer's receipt as PDF."""
    paper = receipt_paper.compose(_reservation(name), http.today())
    back = reverse("handover:handover", args=[name]) + "#reservation"
    return pdf_answer(request, f"{name}-receipt", lambda: receipt_paper.draw(paper), back, "Back to Hand over")


@require_POST
def distance_note(request: HttpRequest, name: str, fact: str) -> HttpResponse:
    """Keep a fact and its day."""
    row, noted = _reservation(name), _fact(fact)
    form = DistanceForm(request.POST, fact=noted)
    return views.answer(request, name, form, lambda act: distance.note(act, row, noted, **form.values), "distance")


@require_POST
def distance_take_back(request: HttpRequest, name: str, fact: str) -> HttpResponse:
    """Take a fact back as a slip."""
    row, noted = _reservation(name), _fact(fact)
    form = ActForm(request.POST)
    return views.answer(request, name, form, lambda act: distance.take_back(act, row, noted), "distance")
