"""Prepared rows of intake: what other rooms print of a job, and the sections of its Machine page."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime

from django.urls import reverse

from intake import facts, zones
from intake.models import Finding, LoosePart, Mark, Purchase, SeenRunning, Walk
from intake.words import AsFoundAnswer, FindingEnd, WalkKind
from intake.zones import Spot, ZoneBox
from workshop.core.models import Job, User
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
    """A loose part and how many came; `size` says a basket's width and walls."""

    pk: int
    words: str
    counted: int
    told: str
    size: str = ""


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
    blind: bool = False  # the person who looks scores it blind: no score is shown


def blind_walk(job: Job, person: User) -> Walk | None:
    """Return the blind walk this person is on just now: until it is finished they see no mark but their own."""
    return Walk.objects.filter(job=job, kind=WalkKind.SECOND, by=person, finished_at__isnull=True).first()


def marks(job: Job, walk: Walk | None = None) -> list[Mark]:
    """Return every mark of a job by its number, also those mended or taken back; of a blind walk only its own.

    Marks of a blind walk count nowhere else: not in the score, not on the sheet.
    """
    rows = Mark.objects.select_related("walk", "photo", "loose_part", "by", "mended_by").order_by("number", "pk")
    return list(rows.filter(walk=walk) if walk else rows.filter(walk__job=job).exclude(walk__kind=WalkKind.SECOND))


def is_now(mark: Mark) -> bool:
    """Say whether the machine shows this mark today."""
    return mark.withdrawn_at is None and mark.mended_at is None


def score_of(rows: Iterable[Mark], rule_version: int) -> Score:
    """Return the condition score of these marks under a rule, line by line."""
    return scoring.score((_scored(row) for row in rows), rule_version)


def _scored(row: Mark) -> scoring.Mark:
    face = Face(row.face) if row.face else None
    zone = zones.zone_words(face, row.zone) or None if face else None
    part = str(row.loose_part) if row.loose_part else ""
    return scoring.Mark(face, zone, MarkKind(row.kind), row.size_mm, Shows(row.shows), part)


def _rules(job: Job) -> tuple[int, int]:
    """Return the rule of the walk on arrival and of the latest walk (today's rule where there is none)."""
    walks = Walk.objects.filter(job=job).exclude(kind=WalkKind.SECOND).order_by("pk")
    found = list(walks.values_list("rule_version", flat=True)) or [scoring.RULE_VERSION]
    return found[0], found[-1]


@dataclass(frozen=True, slots=True)
class Scores:
    """The score on arrival, mended marks and all, and the score of the machine as it is."""

    arrived: Score
    now: Score


def scores(job: Job, rows: Collection[Mark]) -> Scores:
    """Return both scores of a job from its marks, each under the rule of its walk."""
    first, latest = _rules(job)
    return Scores(score_of(on_arrival(rows), first), score_of(filter(is_now, rows), latest))


def on_arrival(rows: Iterable[Mark]) -> list[Mark]:
    """Return the marks found on arrival, also those mended since."""
    return [row for row in rows if row.withdrawn_at is None and row.walk.kind == WalkKind.ARRIVAL]


def score_now(job: Job) -> Score:
    """Return the score of the machine as it is: its marks, less those mended."""
    return scores(job, marks(job)).now


def score_on_arrival(job: Job) -> Score:
    """Return the score of the machine as it came, mended marks and all."""
    return scores(job, marks(job)).arrived


def mark_words(mark: Mark) -> str:
    """Return a mark in words: "Left, low front: scratch 28 mm, seen at arm's length"."""
    where = place_words(mark)
    size = measure(mark.size_mm, "mm")
    return f"{where}: {MarkKind(mark.kind).label} {size}, {Shows(mark.shows).label}"


def place_words(mark: Mark) -> str:
    """Return where a mark is, in words: "Left, low front", or the loose part it is on."""
    return str(mark.loose_part) if mark.loose_part else zones.where(Face(mark.face), mark.zone)


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
        photo_url=reverse("intake:photo_one", args=[mark.photo_id]) if sha else "",
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


def marks_section(job: Job, viewer: User | None = None) -> MarksSection:
    """Return the Marks section: both scores, the faces that have marks, the list with the drawing's numbers.

    Somebody who scores the machine blind just now sees their own marks and no score.
    """
    blind = blind_walk(job, viewer) if viewer else None
    rows = marks(job, blind)
    found = scores(job, rows)
    marked = [face for face in zones.FACES if any(row.face == face and is_now(row) for row in rows)]
    return MarksSection(
        url=reverse("intake:walk", args=[job.machine.slug]),
        now=str(found.now.value),
        arrived=str(found.arrived.value),
        faces_seen=facts.faces_seen(job),
        rows=[mark_row(row) for row in rows if row.withdrawn_at is None],
        drawings=[drawing(face, rows) for face in marked or [Face.FRONT]],
        many=len(marked) > 1,
        blind=blind is not None,
    )


@dataclass(frozen=True, slots=True)
class HoldSection:
    """The hold of a machine as its page shows it: until when, what it forbids, the rule and where it was read."""

    words: str
    rule: str
    source: str
    stands: bool
    url: str
    allows: str


def hold_allows(row: Purchase, today: date) -> str:
    """Say what a standing hold leaves free; "" once it ended, or where there is none."""
    if row.hold_until_on is None or today >= row.hold_until_on:
        return ""
    if not row.hold_blocks_work:
        return "Work on it goes on."
    return (
        "It stays as it came: no cleaning, mending or part fitted. You may look, read, photograph, note and price, "
        "order parts, and answer seals as kept or not disturbed."
    )


def hold_section(job: Job, today: date) -> HoldSection | None:
    """Return the Hold section of the Machine page; None where the place demands none."""
    row = Purchase.objects.filter(job=job, hold_until_on__isnull=False).first()
    if row is None or row.hold_until_on is None:
        return None
    what = "Do not open, descale, strip or sell it" if row.hold_blocks_work else "Do not sell it"
    stands = today < row.hold_until_on
    words = f"{what} before {day(row.hold_until_on)}." if stands else f"It ended: free since {day(row.hold_until_on)}."
    url = reverse("intake:intake", args=[job.machine.slug]) + "#purchase"
    return HoldSection(words, row.hold_words, row.hold_source, stands, url, hold_allows(row, today))


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
    size = [measure(row.basket_mm, "mm"), row.get_walls_display().lower()]
    return LoosePartRow(
        pk=row.pk, words=row.words, counted=row.counted, told=told, size=", ".join(part for part in size if part)
    )
