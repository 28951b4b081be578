"""Prepared rows of intake: what other rooms print of a job, and the sections of its Machine page."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime

from django.db.models import QuerySet
from django.urls import reverse

from intake import facts, zones
from intake.models import Finding, LoosePart, Mark, Photo, Purchase, SeenRunning, Walk
from intake.words import AsFoundAnswer, FindingEnd, PhotoFor, WalkKind
from intake.zones import Spot, ZoneBox
from workshop.core.models import Job
from workshop.core.templatetags.measures import day, measure
from workshop.trade.condition import scoring
from workshop.trade.condition.scoring import Face, MarkKind, Score, Shows


@dataclass(frozen=True, slots=True)
class SheetMark:
    """A mark as the buyer's sheet prints it: its number, its words, the hash of its photo."""

    number: int
    words: str
    photo_sha: str | None


@dataclass(frozen=True, slots=True)
class MarkRow:
    """A mark as screens print it."""

    pk: int
    number: int
    face: str
    words: str
    by: str
    at: datetime
    mended: str = ""
    withdrawn: bool = False
    later: bool = False
    photo_url: str = ""
    thumb_url: str = ""


@dataclass(frozen=True, slots=True)
class Drawing:
    """One face in line art with the numbers of its marks."""

    face: str
    label: str
    art: str
    words: str
    height: int = zones.SHORT
    spots: list[Spot] = field(default_factory=list)
    zones: list[ZoneBox] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class FindingRow:
    """Something that did not work as found, and how it ended."""

    pk: int
    words: str
    end: str
    end_label: str
    end_words: str
    is_open: bool
    glyph: str
    told: str


@dataclass(frozen=True, slots=True)
class SeenRow:
    """What was seen running at the seller's: told with who and when, never a pass."""

    pk: int
    words: str
    told: str


@dataclass(frozen=True, slots=True)
class LoosePartRow:
    """A loose part and how many came."""

    pk: int
    words: str
    counted: int
    told: str


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """A photo as screens print it; `alt` says what it shows."""

    pk: int
    alt: str
    caption: str
    url: str
    thumb_url: str
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True)
class MarksSection:
    """The Marks section of the Machine page."""

    url: str
    now: str
    arrived: str
    faces_seen: int
    rows: list[MarkRow]
    drawings: list[Drawing]
    many: bool = False  # several drawings stand side by side: their numbers are drawn larger


@dataclass(frozen=True, slots=True)
class PhotosSection:
    """The Photos section of the Machine page."""

    url: str
    rows: list[PhotoRow]


def marks(job: Job) -> list[Mark]:
    """Return every mark of a job by its number, also those mended or taken back."""
    rows = Mark.objects.filter(walk__job=job).select_related("walk", "photo", "by", "mended_by")
    return list(rows.order_by("number", "pk"))


def is_now(mark: Mark) -> bool:
    """Say whether the machine shows this mark today."""
    return mark.withdrawn_at is None and mark.mended_at is None


def score_of(rows: Iterable[Mark]) -> Score:
    """Return the condition score of these marks, line by line."""
    return scoring.score(
        scoring.Mark(
            Face(row.face),
            zones.zone_words(Face(row.face), row.zone) or None,
            MarkKind(row.kind),
            row.size_mm,
            Shows(row.shows),
        )
        for row in rows
    )


def _on_arrival(rows: Iterable[Mark]) -> list[Mark]:
    return [row for row in rows if row.withdrawn_at is None and row.walk.kind == WalkKind.ARRIVAL]


def score_now(job: Job) -> Score:
    """Return the score of the machine as it is: its marks, less those mended."""
    return score_of(row for row in marks(job) if is_now(row))


def score_on_arrival(job: Job) -> Score:
    """Return the score of the machine as it came, mended marks and all."""
    return score_of(_on_arrival(marks(job)))


def mark_words(mark: Mark) -> str:
    """Return a mark in words: "Left, low front: scratch 28 mm, seen at arm's length"."""
    where = zones.where(Face(mark.face), mark.zone)
    size = measure(mark.size_mm, "mm")
    return f"{where}: {MarkKind(mark.kind).label} {size}, {Shows(mark.shows).label}"


def marks_for_sheet(job: Job) -> list[SheetMark]:
    """Return the marks that a buyer is told, with the numbers of the workshop's drawing."""
    return [
        SheetMark(row.number, mark_words(row), row.photo.sha if row.photo else None)
        for row in marks(job)
        if is_now(row)
    ]


def mark_row(mark: Mark) -> MarkRow:
    """Return a mark ready to print."""
    sha = mark.photo.sha if mark.photo else ""
    mended = f"mended by {mark.mended_by}, {day(mark.mended_at)}" if mark.mended_at else ""
    return MarkRow(
        pk=mark.pk,
        number=mark.number,
        face=mark.face,
        words=mark_words(mark),
        by=str(mark.by),
        at=mark.at,
        mended=mended,
        withdrawn=mark.withdrawn_at is not None,
        later=mark.walk.kind == WalkKind.SOLD,
        photo_url=reverse("intake:photo", args=[sha]) if sha else "",
        thumb_url=reverse("intake:photo_thumb", args=[sha]) if sha else "",
    )


def drawing(face: Face, rows: Collection[Mark], *, with_zones: bool = False) -> Drawing:
    """Return the drawing of a face with the numbers of the marks that show on it."""
    here = [row for row in rows if row.face == face and is_now(row)]
    numbers = ", ".join(str(row.number) for row in here)
    many = "marks" if len(here) > 1 else "mark"
    return Drawing(
        face=face.value,
        label=face.label.capitalize(),
        art=f"intake/_face_{face.value}.html",
        words=f"{face.label.capitalize()}, {many} {numbers}" if here else f"{face.label.capitalize()}, no mark",
        height=zones.SHORT if all(row.zone for row in here) else zones.SIDE,
        spots=zones.spots([(row.number, row.zone) for row in here]),
        zones=zones.zone_boxes(face) if with_zones else [],
    )


def marks_section(job: Job) -> MarksSection:
    """Return the Marks section: both scores, the faces that have marks, the list with the drawing's numbers."""
    rows = marks(job)
    shown = [row for row in rows if row.withdrawn_at is None]
    marked = [face for face in zones.FACES if any(row.face == face and is_now(row) for row in rows)]
    return MarksSection(
        url=reverse("intake:walk", args=[job.machine.slug]),
        now=str(score_of(row for row in rows if is_now(row)).value),
        arrived=str(score_of(_on_arrival(rows)).value),
        faces_seen=_faces_seen(job),
        rows=[mark_row(row) for row in shown],
        drawings=[drawing(face, rows) for face in marked or [Face.FRONT]],
        many=len(marked) > 1,
    )


def _faces_seen(job: Job) -> int:
    walk = Walk.objects.filter(job=job).order_by("pk").first()
    return walk.looks.count() if walk else 0


def photos_section(job: Job) -> PhotosSection:
    """Return the Photos section: every photo of the job that was not taken back."""
    return PhotosSection(reverse("intake:intake", args=[job.machine.slug]) + "#photos", photo_rows(job))


def photo_rows(job: Job) -> list[PhotoRow]:
    """Return the photos of a job, as they came."""
    return [_photo_row(row) for row in _standing(job)]


def seller_photo_rows(job: Job) -> list[PhotoRow]:
    """Return the pictures the seller sent, to stand beside what was found."""
    return [_photo_row(row) for row in _standing(job).filter(purpose=PhotoFor.SELLER)]


def _standing(job: Job) -> QuerySet[Photo]:
    return Photo.objects.filter(job=job, struck=False, corrected_by__isnull=True).order_by("pk")


@dataclass(frozen=True, slots=True)
class HoldSection:
    """The hold of a machine as its page shows it: until when, what it forbids, the rule and where it was read."""

    words: str
    rule: str
    source: str
    stands: bool
    url: str


def hold_section(job: Job, today: date) -> HoldSection | None:
    """Return the Hold section of the Machine page; None where the place demands none."""
    row = Purchase.objects.filter(job=job, hold_until_on__isnull=False).first()
    if row is None or row.hold_until_on is None:
        return None
    what = "Do not open, descale, strip or sell it" if row.hold_blocks_work else "Do not sell it"
    stands = today < row.hold_until_on
    words = f"{what} before {day(row.hold_until_on)}." if stands else f"It ended: free since {day(row.hold_until_on)}."
    url = reverse("intake:intake", args=[job.machine.slug]) + "#purchase"
    return HoldSection(words, row.hold_words, row.hold_source, stands, url)


def _photo_row(photo: Photo) -> PhotoRow:
    purpose = PhotoFor(photo.purpose).label
    where = f"{Face(photo.face).label.capitalize()}, photo" if photo.face else "Photo"
    taken = f"taken {day(photo.taken_at)}" if photo.taken_at else f"added {day(photo.at)}"
    return PhotoRow(
        pk=photo.pk,
        alt=f"{where} {photo.number}: {purpose[:1].lower()}{purpose[1:]}",
        caption=f"{where} {photo.number}. {purpose}, {taken}",
        url=reverse("intake:photo", args=[photo.sha]),
        thumb_url=reverse("intake:photo_thumb", args=[photo.sha]),
        width_px=photo.width_px,
        height_px=photo.height_px,
    )


_GLYPHS = {FindingEnd.OPEN: "open", FindingEnd.MENDED: "full", FindingEnd.NOT_SEEN_AGAIN: "full", FindingEnd.LEFT: "na"}


def findings(job: Job) -> list[FindingRow]:
    """Return what did not work as found, in the order found, each with its end."""
    return [_finding_row(row) for row in job.findings.select_related("by", "ended_by").order_by("pk")]


def _finding_row(row: Finding) -> FindingRow:
    end = FindingEnd(row.end)
    if end is FindingEnd.OPEN:
        told = f"{row.by}, {day(row.at)}"
    else:
        told = f"{end.label}{f': {row.end_words}' if row.end_words else ''}. {row.ended_by}, {day(row.ended_at)}"
    return FindingRow(
        pk=row.pk,
        words=row.words,
        end=end.value,
        end_label=end.label,
        end_words=row.end_words,
        is_open=end is FindingEnd.OPEN,
        glyph=_GLYPHS[end],
        told=told,
    )


def as_found_words(job: Job) -> str:
    """Say how far the as-found card is: "3 looked at: 1 in order, 1 faulty, 1 cannot be told yet."."""
    answers = [row.answer for row in facts.as_found([job.pk])[job.pk].values()]
    if not answers:
        return ""
    works, faults = answers.count(AsFoundAnswer.WORKS), answers.count(AsFoundAnswer.FAULT)
    unsure = len(answers) - works - faults
    told = [f"{works} in order"] if works else []
    told += [f"{faults} faulty"] if faults else []
    told += [f"{unsure} cannot be told yet"] if unsure else []
    return f"{len(answers)} looked at: {', '.join(told)}."


def seen_running(job: Job) -> list[SeenRow]:
    """Return what was seen running at the seller's, in the order seen."""
    return [seen_row(row) for row in facts.seen_running([job.pk])[job.pk]]


def seen_row(row: SeenRunning) -> SeenRow:
    """Return one sighting ready to print."""
    return SeenRow(row.pk, f"Seen running at the seller's: {row.said}", f"{row.by}, {day(row.seen_on)}")


def loose_parts(job: Job) -> list[LoosePartRow]:
    """Return the loose parts as counted; a count of nought is one that should be there and is not."""
    return [_loose_row(row) for row in job.loose_parts.order_by("pk")]


def _loose_row(row: LoosePart) -> LoosePartRow:
    told = "not there" if row.counted == 0 else str(row.counted)
    return LoosePartRow(pk=row.pk, words=row.words, counted=row.counted, told=told)
