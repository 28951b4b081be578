"""The walk-round: six faces, marks, the score, the second look."""

from collections.abc import Callable, Mapping
from typing import TypeVar

from django.db.models import Model, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from intake import pages, score_page, services, uploads, walk_page
from intake.forms import FaceForm, MarkForm
from intake.models import LoosePart, Mark, Photo
from intake.walk_page import Asked
from intake.words import Zone
from workshop.core import http
from workshop.core.acts import Act
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry
from workshop.trade.condition.scoring import Face

Row = TypeVar("Row", bound=Model)


def walk(request: HttpRequest, name: str) -> HttpResponse:
    """Walk round a machine: one face at a time, or all six in one press."""
    return _page(request, name)


def _page(request: HttpRequest, name: str, form: ActForm | None = None, status: int = 200) -> HttpResponse:
    job = http.job_of(name)
    asked = _asked(job, form) if isinstance(form, MarkForm) else _asked_by_address(job, request.GET)
    rows = walk_page.walk_page(job, http.person(request), asked)
    mark_form = form if isinstance(form, MarkForm) else _mark_form(job, rows, asked)
    opened = bool(mark_form.errors or asked.zone or asked.part or asked.photo)
    context = {"job": job, "page": rows, "form": form, "mark_form": mark_form, "opened": opened}
    return render(request, "intake/walk.html", context, status=status)


def _asked(job: Job, form: MarkForm) -> Asked:
    """Return what a refused form was about, so that the page around it stays the same."""
    data = form.data
    x, y = data.get("pin_x_permille", ""), data.get("pin_y_permille", "")
    names = {"part": data.get("loose_part", ""), "photo": data.get("pinned_on", ""), "x": x, "y": y}
    return _asked_by_address(job, {"face": data.get("face", ""), "zone": data.get("zone", ""), **names})


def _asked_by_address(job: Job, query: Mapping[str, str]) -> Asked:
    """Return what an address asks for; what makes no sense in it counts as not asked."""
    standing = Photo.objects.filter(struck=False, corrected_by__isnull=True)
    x, y = _whole(query.get("x", "")), _whole(query.get("y", ""))
    return Asked(
        face=_face(query.get("face", "")),
        zone=_zone(query.get("zone", "")),
        part=_row(LoosePart.objects.filter(job=job), query.get("part", "")),
        photo=_row(standing.filter(job=job), query.get("photo", "")),
        pin_permille=(x, y) if x is not None and y is not None else None,
    )


def _row(rows: QuerySet[Row], text: str) -> Row | None:
    pk = _whole(text, most=2**31)
    return rows.filter(pk=pk).first() if pk is not None else None


def _whole(text: str, most: int = 1000) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 11 and int(text) <= most else None


def _mark_form(job: Job, rows: walk_page.WalkPage, asked: Asked) -> MarkForm:
    x, y = asked.pin_permille or (None, None)
    placed = asked.part is None and not asked.asks_face
    initial = {
        "face": rows.face if placed else "",
        "zone": asked.zone if placed else "",
        "loose_part": asked.part,
        "pinned_on": asked.photo,
        "pin_x_permille": x,
        "pin_y_permille": y,
    }
    face = Face(rows.face) if placed else None
    return MarkForm(job=job, face=face, asks_face=asked.asks_face, initial=initial, auto_id="mark_%s")


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
    face = _face(request.POST.get("face", ""))
    part, pinned = request.POST.get("loose_part"), request.POST.get("pinned_on")
    shown = None if (part or pinned) and face is None else face or Face.FRONT
    asks_face = bool(pinned) and not part and face is None
    data = uploads.with_kept(request.POST, received)
    form = MarkForm(data, job=job, received=received, face=shown, asks_face=asks_face, auto_id="mark_%s")
    to = _url(name, face.value if face else "", "marks")
    return _answer(request, name, form, to, lambda act: services.add_mark(act, job, form.mark()))


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
    marks = Mark.objects.select_related("walk__job__machine").filter(walk__job=job)
    if own := pages.blind_walk(job, http.person(request)):
        marks = marks.filter(walk=own)
    row = get_object_or_404(marks, pk=pk)
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


@require_POST
def blind_begin(request: HttpRequest, name: str) -> HttpResponse:
    """Begin to score a machine blind."""
    job = http.job_of(name)
    return _answer(request, name, ActForm(request.POST), _url(name), lambda act: services.begin_blind_look(act, job))


@require_POST
def blind_finish(request: HttpRequest, name: str) -> HttpResponse:
    """Finish the blind look; both scores come up."""
    job, to = http.job_of(name), _url(name, anchor="blind")
    return _answer(request, name, ActForm(request.POST), to, lambda act: services.finish_blind_look(act, job))


@require_GET
def condition_score(request: HttpRequest) -> HttpResponse:
    """Explain the score: the published axes, our own rule, a worked example, how far two people agree."""
    return render(request, "intake/condition_score.html", {"page": score_page.score_page()})
