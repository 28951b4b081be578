"""What the Walk-round page prints, prepared from a job's rows."""

from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse

from intake import pages, zones
from intake.models import FaceLook, Mark, Walk
from intake.words import WalkKind, Zone
from workshop.core.models import Job
from workshop.core.templatetags.measures import day, number
from workshop.trade.condition.scoring import POLICY_WORDS, Face, Score


@dataclass(frozen=True, slots=True)
class FaceTab:
    """One face in the list of six."""

    face: str
    label: str
    url: str
    glyph: str
    words: str
    here: bool
    drawing: pages.Drawing


@dataclass(frozen=True, slots=True)
class ZoneLink:
    """A zone that can be pressed in the drawing."""

    url: str
    words: str
    x: int
    y: int
    side: int
    here: bool


@dataclass(frozen=True, slots=True)
class WalkPage:
    """Everything the page prints but its forms."""

    title: str
    faces: list[FaceTab]
    face: str
    face_label: str
    face_seen: str
    unseen: list[str]
    drawing: pages.Drawing
    zone_links: list[ZoneLink]
    rows: list[pages.MarkRow]
    taken_back: list[pages.MarkRow]
    now: str
    arrived: str
    score_lines: list[tuple[str, str]]
    policy: str
    second: str  # "ask", "begun", "done", or "" while the first walk is under way


def walk_page(job: Job, face: Face | None, zone: str = "") -> WalkPage:
    """Return the page's rows for one face: the one asked for, else the first not looked at, else the front."""
    rows = pages.marks(job)
    walks = list(Walk.objects.filter(job=job).prefetch_related("looks__by").order_by("pk"))
    looks = {look.face: look for look in walks[-1].looks.all()} if walks else {}
    face = face or next((f for f in zones.FACES if f.value not in looks), Face.FRONT)
    url = reverse("intake:walk", args=[job.machine.slug])
    here = pages.drawing(face, rows, with_zones=True)
    return WalkPage(
        title="Second look" if walks and walks[-1].kind == WalkKind.SOLD else "Walk-round",
        faces=[_tab(one, face, rows, looks, url) for one in zones.FACES],
        face=face.value,
        face_label=face.label,
        face_seen=_seen(looks[face.value]) if face.value in looks else "",
        unseen=[one.label for one in zones.FACES if one.value not in looks],
        drawing=here,
        zone_links=[_zone_link(face, box, zone, url) for box in here.zones],
        rows=[pages.mark_row(row) for row in rows if row.withdrawn_at is None],
        taken_back=[pages.mark_row(row) for row in rows if row.withdrawn_at is not None],
        now=str(_now(rows).value),
        arrived=str(pages.score_of(_arrived(rows)).value),
        score_lines=[(line.words.rsplit(":", 1)[0], f"{number(line.cost)} off") for line in _now(rows).lines],
        policy=POLICY_WORDS,
        second=_second(walks),
    )


def _now(rows: list[Mark]) -> Score:
    return pages.score_of(row for row in rows if pages.is_now(row))


def _arrived(rows: list[Mark]) -> list[Mark]:
    return [row for row in rows if row.withdrawn_at is None and row.walk.kind == WalkKind.ARRIVAL]


def _tab(one: Face, current: Face, rows: list[Mark], looks: dict[str, FaceLook], url: str) -> FaceTab:
    drawn = pages.drawing(one, rows)
    count = len(drawn.spots)
    marks = "no mark" if count == 0 else "1 mark" if count == 1 else f"{count} marks"
    seen = one.value in looks
    return FaceTab(
        face=one.value,
        label=one.label.capitalize(),
        url=f"{url}?{urlencode({'face': one.value})}#faces",
        glyph="full" if seen else "open",
        words=marks if seen else f"{marks}, not looked at",
        here=one is current,
        drawing=drawn,
    )


def _seen(look: FaceLook) -> str:
    return f"Looked at by {look.by}, {day(look.at)}"


def _zone_link(face: Face, box: zones.ZoneBox, zone: str, url: str) -> ZoneLink:
    query = urlencode({"face": face.value, "zone": box.code})
    words = f"{face.label.capitalize()}, {box.words}: add a mark"
    return ZoneLink(f"{url}?{query}#add", words, box.x, box.y, box.side, box.code == zone)


def _second(walks: list[Walk]) -> str:
    """Return how far the second look is."""
    kinds = {walk.kind: len(walk.looks.all()) for walk in walks}
    if WalkKind.SOLD in kinds:
        return "done" if kinds[WalkKind.SOLD] == len(zones.FACES) else "begun"
    return "ask" if kinds.get(WalkKind.ARRIVAL) == len(zones.FACES) else ""


def zone_choices(face: Face) -> list[tuple[str, str]]:
    """Return the zones of a face as a form offers them."""
    return [("", "The whole face, or not sure"), *((z.value, zones.zone_words(face, z).capitalize()) for z in Zone)]
