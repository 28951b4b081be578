"""The walk-round: six faces, marks, the score, the second look."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from intake import services, uploads, walk_page
from intake.forms import FaceForm, MarkForm
from intake.models import Mark
from intake.words import Zone
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import JournalEntry
from workshop.trade.condition.scoring import Face


def walk(request: HttpRequest, name: str) -> HttpResponse:
    """Walk round a machine: one face at a time, or all six in one press."""
    return _page(request, name)


def _page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    job = http.job_of(name)
    asked = form.data if isinstance(form, MarkForm) else request.GET
    face, zone = _face(asked.get("face", "")), _zone(asked.get("zone", ""))
    rows = walk_page.walk_page(job, face, zone)
    if isinstance(form, MarkForm):
        mark_form: MarkForm = form
    else:
        mark_form = MarkForm(face=Face(rows.face), initial={"face": rows.face, "zone": zone}, auto_id="mark_%s")
    context = {"job": job, "page": rows, "form": form, "mark_form": mark_form, "zone": zone}
    return render(request, "intake/walk.html", context, status=status)


def _face(text: str) -> Face | None:
    return Face(text) if text in {face.value for face in Face} else None


def _zone(text: str) -> str:
    return text if text in Zone.values else ""


def _url(name: str, face: str = "", anchor: str = "faces") -> str:
    query = f"?face={face}" if face else ""
    return f"{reverse('intake:walk', args=[name])}{query}#{anchor}"


def _answer(request: HttpRequest, name: str, form: ActForm, to: str, do: Callable[[Act], JournalEntry]) -> HttpResponse:
    return http.answer(request, form, do=do, to=to, page=lambda f, status: _page(request, name, f, status))


@require_POST
def mark_add(request: HttpRequest, name: str) -> HttpResponse:
    """Add a mark."""
    job = http.job_of(name)
    received = uploads.receive(request, "photo")
    face = _face(request.POST.get("face", "")) or Face.FRONT
    data = uploads.with_kept(request.POST, received)
    form = MarkForm(data, received=received, face=face, auto_id="mark_%s")
    return _answer(
        request, name, form, _url(name, face.value, "marks"), lambda act: services.add_mark(act, job, form.mark())
    )


@require_POST
def face_look(request: HttpRequest, name: str) -> HttpResponse:
    """Note that a face was looked at; the next one comes up."""
    job, form = http.job_of(name), FaceForm(request.POST)
    return _answer(
        request,
        name,
        form,
        _url(name),
        lambda act: services.look_at_face(act, job, Face(form.values["face"])),
    )


@require_POST
def faces_look(request: HttpRequest, name: str) -> HttpResponse:
    """Note that all six faces were looked at."""
    job = http.job_of(name)
    return _answer(request, name, ActForm(request.POST), _url(name), lambda act: services.look_at_all_faces(act, job))


@require_POST
def mark_mend(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Note that a mark is gone."""
    return _mark(request, name, pk, services.mend_mark)


@require_POST
def mark_unmend(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take the word "mended" off a mark."""
    return _mark(request, name, pk, services.unmend_mark)


@require_POST
def mark_take_back(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Take a mark back as a slip."""
    return _mark(request, name, pk, services.take_mark_back)


@require_POST
def mark_put_back(request: HttpRequest, name: str, pk: int) -> HttpResponse:
    """Put a mark back."""
    return _mark(request, name, pk, services.put_mark_back)


def _mark(request: HttpRequest, name: str, pk: int, service: Callable[[Act, Mark], JournalEntry]) -> HttpResponse:
    job = http.job_of(name)
    row = get_object_or_404(Mark.objects.select_related("walk__job__machine"), pk=pk, walk__job=job)
    to = _url(name, row.face, "marks")
    return _answer(request, name, ActForm(request.POST), to, lambda act: service(act, row))


@require_POST
def walk_again(request: HttpRequest, name: str) -> HttpResponse:
    """Begin the second look."""
    job = http.job_of(name)
    return _answer(request, name, ActForm(request.POST), _url(name), lambda act: services.begin_second_look(act, job))


@require_POST
def walk_same(request: HttpRequest, name: str) -> HttpResponse:
    """Answer the second look with "same as arrived"."""
    job = http.job_of(name)
    return _answer(
        request, name, ActForm(request.POST), _url(name, anchor="marks"), lambda act: services.look_again(act, job)
    )
