"""The pack page of a machine that goes by carrier: drained, wrapped, weighed, photographed, and the card in the box."""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from handover import pack_card, packing
from handover.counter_forms import BoxPhotoForm, PackForm, TrackForm, UnpackForm
from handover.models import Packed
from handover.tag_views import pdf_answer
from intake import uploads
from intake.pages_photos import photo_row
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import Job
from workshop.trade.safety import cautions
from workshop.trade.safety.cautions import Trigger


@require_http_methods(["GET", "HEAD", "POST"])
def pack(request: HttpRequest, name: str) -> HttpResponse:
    """Show the page; keep how it was packed."""
    job = http.job_of(name)
    if request.method != "POST":
        return _page(request, job)
    form = _form(job, request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: packing.pack(act, job, form.new),
        to=_url(name),
        page=lambda f, status: _page(request, job, f, status),
    )


@require_POST
def box_photo_add(request: HttpRequest, name: str) -> HttpResponse:
    """Add photos of the box."""
    job = http.job_of(name)
    received = uploads.receive(request)
    form = BoxPhotoForm(uploads.with_kept(request.POST, received), received=received)
    return http.answer(
        request,
        form,
        do=lambda act: packing.add_box_photos(act, job, form.photos_kept),
        to=_url(name) + "#photos",
        page=lambda f, status: _page(request, job, f, status),
    )


@require_POST
def pack_track(request: HttpRequest, name: str) -> HttpResponse:
    """Keep the carrier's number."""
    job = http.job_of(name)
    form = TrackForm(request.POST)
    return http.answer(
        request,
        form,
        do=lambda act: packing.track(act, job, form.values["tracking"]),
        to=_url(name) + "#packed",
        page=lambda f, status: _page(request, job, f, status),
    )


@require_POST
def unpack(request: HttpRequest, name: str) -> HttpResponse:
    """Take packing back."""
    job = http.job_of(name)
    row = packing.standing(job)
    return http.answer(
        request,
        UnpackForm(request.POST),
        do=lambda act: packing.unpack(act, row),
        to=_url(name),
        page=lambda f, status: _page(request, job, f, status),
    )


@require_safe
def pack_card_pdf(request: HttpRequest, name: str) -> HttpResponse:
    """The card as PDF. :raises Http404: before it is packed."""
    job = http.job_of(name)
    packed = packing.standing(job)
    if packed is None:
        raise Http404("It is not packed yet.")
    card = pack_card.compose(job, packed)
    return pdf_answer(request, f"{name}-pack-card", lambda: pack_card.draw(card), _url(name), "Back to the pack page")


def _url(name: str) -> str:
    return reverse("handover:pack", args=[name])


def _form(job: Job, data: Any = None) -> PackForm:
    row = packing.standing(job)
    parts = packing.parts(job)
    return PackForm(
        data,
        parts=parts,
        holds_water=packing.holds_water(job),
        currency=http.the_shop().currency,
        initial=_initial(row, parts) if row else None,
    )


def _initial(row: Packed, parts: list[str]) -> dict[str, Any]:
    """Packed anew, what was said of each part is offered again; whether it is drained is looked at each time."""
    said = dict(row.wraps)
    same = ("weight_kg", "carrier", "insured_minor")
    wraps = {f"wrap_{number}": said.get(part, "") for number, part in enumerate(parts)}
    return {name: getattr(row, name) for name in same} | wraps


def _page(request: HttpRequest, job: Job, pressed: ActForm | None = None, status: int = 200) -> HttpResponse:
    row = packing.standing(job)
    weight = row.weight_kg if row else job.machine.notes.mass_kg
    lifting = cautions.lifting_trigger(weight) if weight else None
    context = {
        "job": job,
        "packed": row,
        "parts": packing.parts(job),
        "cautions": [
            *(cautions.for_trigger(Trigger.SENT_BY_CARRIER) if packing.holds_water(job) else ()),
            *(cautions.for_trigger(lifting) if lifting else ()),
        ],
        "photos": [photo_row(photo) for photo in packing.photos(job)],
        "pack_form": pressed if isinstance(pressed, PackForm) else _form(job),
        "photo_form": pressed if isinstance(pressed, BoxPhotoForm) else BoxPhotoForm(),
        "track_form": pressed if isinstance(pressed, TrackForm) else TrackForm(),
        "unpack_form": pressed if isinstance(pressed, UnpackForm) else UnpackForm(),
        "form": pressed,
    }
    return render(request, "handover/pack.html", context, status=status)
