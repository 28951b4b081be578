"""Photos: add, take back, see one with its pins, compare arrival and as sold, and the one way to their files."""

from collections.abc import Callable
from urllib.parse import urlencode

from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from intake import blind, pages_photos, photos, services, uploads
from intake.forms import FacesForm, PhotoForm, PinForm
from intake.forms.photos import face_name
from intake.models import Photo
from intake.photos import PhotoRefused
from intake.views import intake
from intake.words import PhotoFor
from workshop.core import http
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry


@require_POST
def photo_add(request: HttpRequest, name: str) -> HttpResponse:
    """Add photos to a machine's job."""
    job = http.job_of(name)
    received = uploads.receive(request)
    form = PhotoForm(uploads.with_kept(request.POST, received), received=received, auto_id="photos_%s")
    return http.answer(
        request,
        form,
        do=lambda act: services.add_photos(
            act, job, form.photos_kept, face=form.values["face"], purpose=PhotoFor(form.values["purpose"])
        ),
        to=lambda _: intake.way_back(job, form.values["back"]) or intake.page_url(name, "photos"),
        page=lambda f, status: intake.page(request, name, f, status),
    )


@require_POST
def photo_keep(request: HttpRequest) -> JsonResponse:
    """Keep one file as soon as it is chosen, for a form that is still being typed: no row, only the file.

    Answers with the token that the form carries, or with the sentence that says why the file is not kept.
    """
    files = request.FILES.getlist("photo")
    if len(files) != 1:
        return JsonResponse({"refused": "No photo came along. Choose it again."}, status=422)
    try:
        kept = photos.take_in(files[0])
    except PhotoRefused as refused:
        return JsonResponse({"refused": refused.sentence}, status=422)
    return JsonResponse({"kept": uploads.token(kept), "thumb": reverse("intake:photo_thumb", args=[kept.sha])})


@require_GET
def photo_one(request: HttpRequest, pk: int) -> HttpResponse:
    """Show one photo with the pins on it."""
    row = _standing(request, pk)
    shown = pages_photos.photo_page(row, http.person(request))
    context = {"job": row.job, "page": shown, "faces_form": FacesForm(photos=[shown.row])}
    return render(request, "intake/photo_one.html", context)


@require_GET
def photo_pin(request: HttpRequest, pk: int) -> HttpResponse:
    """Turn a press on a photo into a place on it, and lead to the form of a mark there."""
    row = _standing(request, pk)
    form = PinForm({name.replace("spot.", "spot_"): value for name, value in request.GET.items()})
    place = pages_photos.place_permille(row, *form.press()) if form.is_valid() else None
    query = {"face": row.face, "photo": row.pk, **({"x": place[0], "y": place[1]} if place else {})}
    return redirect(f"{reverse('intake:walk', args=[row.job.machine.slug])}?{urlencode(query)}#add")


def _standing(request: HttpRequest, pk: int) -> Photo:
    """Return a photo that was not taken back, as it is named now; an old address leads to it too.

    :raises Http404: taken back, or a mark's photo while this person is blind
    """
    rows = Photo.objects.select_related("job__machine__notes", "job__machine__place", "by")
    row = get_object_or_404(rows, pk=pk)
    while later := rows.filter(corrects=row).first():
        row = later
    if row.struck:
        raise Http404("This photo was taken back.")
    viewer = http.person(request)
    if row.purpose == PhotoFor.MARK and row.by_id != viewer.pk and blind.hides_marks(row.job, viewer):
        raise Http404("Not while you score this machine blind.")
    return row


@require_GET
def photos_compare(request: HttpRequest, name: str) -> HttpResponse:
    """Show each face on arrival and as it is sold, side by side."""
    job = http.job_of(name)
    blinded = blind.hides_marks(job, http.person(request))
    context = {"job": job, "blind": blinded, "pairs": [] if blinded else pages_photos.compare(job)}
    return render(request, "intake/photos_compare.html", context)


@require_POST
def photo_faces(request: HttpRequest, name: str) -> HttpResponse:
    """Say which face photos show: several from Intake, one from its own page (`one`), which then comes up again."""
    job = http.job_of(name)
    rows = pages_photos.photo_rows(job, http.person(request))
    form = FacesForm(request.POST, photos=[row for row in rows if face_name(row.pk) in request.POST])
    return http.answer(
        request,
        form,
        do=lambda act: services.give_faces(act, job, form.faces),
        to=lambda entry: _after_faces(entry, name, one="one" in request.POST),
        page=lambda f, status: intake.page(request, name, f, status),
    )


def _after_faces(entry: JournalEntry, name: str, *, one: bool) -> str:
    ids = entry.after.get("ids", [])
    return reverse("intake:photo_one", args=ids) if one and len(ids) == 1 else intake.page_url(name, "photos")


@require_POST
def photo_take_back(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take a photo back."""
    job = http.job_of(name)
    row = get_object_or_404(Photo.objects.select_related("job__machine"), pk=pk, job=job)
    return http.answer(
        request,
        ActForm(request.POST),
        do=lambda act: services.take_photo_back(act, row),
        to=intake.page_url(name, "photos"),
        page=lambda f, status: intake.page(request, name, f, status),
    )


@require_GET
def photo(request: HttpRequest, sha: str) -> HttpResponse:
    """Serve a kept photo to a signed-in person."""
    return _picture(photos.open_photo, sha, "image/jpeg")


@require_GET
def photo_thumb(request: HttpRequest, sha: str) -> HttpResponse:
    """Serve the small size of a kept photo."""
    return _picture(photos.open_thumb, sha, "image/webp")


def _picture(read: Callable[[str], bytes], sha: str, kind: str) -> HttpResponse:
    try:
        data = read(sha)
    except FileNotFoundError:
        raise Http404("There is no such photo.") from None
    headers = {"Cache-Control": "private, max-age=31536000, immutable", "X-Content-Type-Options": "nosniff"}
    return HttpResponse(data, content_type=kind, headers=headers)
