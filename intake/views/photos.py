"""Photos: add, take back, and the one way to see them."""

from collections.abc import Callable

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET, require_POST

from intake import photos, services, uploads
from intake.forms import PhotoForm
from intake.models import Photo
from intake.views import intake
from intake.words import PhotoFor
from workshop.core import http
from workshop.core.forms import ActForm


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
        to=intake.page_url(name, "photos"),
        page=lambda f, status: intake.page(request, name, f, status),
    )


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
