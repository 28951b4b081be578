"""What the Walk-round page prints, prepared from a job's rows."""

from dataclasses import dataclass
from urllib.parse import urlencode

from django.urls import reverse

from intake import blind, pages, pages_photos, zones
from intake.blind import BlindSection
from intake.models import FaceLook, LoosePart, Mark, Photo, Walk
from intake.pages_photos import PhotoRow, Pinned
from intake.words import PhotoFor, WalkKind, Zone
from workshop.core.models import Job, User
from workshop.core.templatetags.measures import day, number
from workshop.trade.condition.scoring import POLICY_WORDS, Face


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
class PartTab:
    """A loose part that may carry marks."""

    url: str
    words: str
    marks: str
    here: bool


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for: a face and zone or a loose part; a photo, and a pin in thousandths of its sides."""

    face: Face | None = None
    zone: str = ""
    part: LoosePart | None = None
    photo: Photo | None = None
    pin_permille: tuple[int, int] | None = None

    @property
    def asks_face(self) -> bool:
        """Say whether the mark on a photo of no known face still wants its face."""
        return self.photo is not None and not self.photo.face and self.face is None and self.part is None

    @property
    def keeps(self) -> dict[str, str]:
        """Return the part of the address that stays while another face or zone is chosen: the photo and its pin."""
        if self.photo is None:
            return {}
        x, y = self.pin_permille or ("", "")
        return {"photo": str(self.photo.pk), "x": str(x), "y": str(y)}


@dataclass(frozen=True, slots=True)
class WalkPage:
    """Everything the page prints but its forms."""

    title: str
    faces: list[FaceTab]
    parts: list[PartTab]
    face: str
    place_label: str  # "the left", or the loose part that is chosen
    face_seen: str
    unseen: list[str]
    drawing: pages.Drawing
    zone_links: list[ZoneLink]
    pinned: Pinned | None  # the photo that was pressed, with the pin about to be saved
    photos: list[PhotoRow]  # of this face, to press for a pin
    rows: list[pages.MarkRow]
    taken_back: list[pages.MarkRow]
    faces_seen: int  # under six there is no score
    now: str
    arrived: str
    score_lines: list[tuple[str, str]]
    policy: str
    rule_version: int
    second: str  # "ask", "begun", "done", or "" while the first walk is under way
    blind: bool  # this person scores it blind: nothing of the first walk is on the page
    blind_look: BlindSection


def walk_page(job: Job, viewer: User, asked: Asked) -> WalkPage:
    """Return the page's rows for one face: the one asked for, else the first not looked at, else the front.

    Somebody who scores the machine blind gets their own walk: its looks, its marks, no score.
    """
    own = pages.blind_walk(job, viewer)
    rows = pages.marks(job, own)
    walks = _walks(job, own)
    looks = {look.face: look for look in walks[-1].looks.all()} if walks else {}
    face = asked.face or next((f for f in zones.FACES if f.value not in looks), Face.FRONT)
    links = _Links(reverse("intake:walk", args=[job.machine.slug]), asked)
    here, found = pages.drawing(face, rows, with_zones=True), pages.scores(job, rows)
    return WalkPage(
        title=_title(walks),
        faces=[links.tab(one, face, rows, looks) for one in zones.FACES],
        parts=[links.part(part, rows) for part in job.loose_parts.order_by("pk")],
        face=face.value,
        place_label=_place_label(asked, face),
        face_seen=_seen(looks[face.value]) if face.value in looks else "",
        unseen=[one.label for one in zones.FACES if one.value not in looks],
        drawing=here,
        zone_links=[links.zone(face, box) for box in here.zones],
        pinned=_pinned(asked),
        photos=_photos(job, face),
        rows=[pages.mark_row(row) for row in rows if row.withdrawn_at is None],
        taken_back=[pages.mark_row(row) for row in rows if row.withdrawn_at is not None],
        faces_seen=max((len(walk.looks.all()) for walk in walks), default=0),
        now=str(found.now.value),
        arrived=str(found.arrived.value),
        score_lines=[(line.words.rsplit(":", 1)[0], f"{number(line.cost)} off") for line in found.now.lines],
        policy=POLICY_WORDS,
        rule_version=found.now.rule_version,
        second=_second(walks),
        blind=own is not None,
        blind_look=blind.section(job, viewer),
    )


def _walks(job: Job, own: Walk | None) -> list[Walk]:
    """Return the walks the page speaks of, in order: the person's own blind one, else all but a blind one."""
    walks = Walk.objects.filter(job=job).prefetch_related("looks__by").order_by("pk")
    return list(walks.filter(pk=own.pk) if own else walks.exclude(kind=WalkKind.SECOND))


def _title(walks: list[Walk]) -> str:
    titles = {WalkKind.SOLD: "Second look", WalkKind.SECOND: "Blind second look"}
    return titles.get(WalkKind(walks[-1].kind), "Walk-round") if walks else "Walk-round"


def _place_label(asked: Asked, face: Face) -> str:
    if asked.asks_face:
        return "this photo"
    return str(asked.part) if asked.part else f"the {face.label}"


def _pinned(asked: Asked) -> Pinned | None:
    if asked.photo is None:
        return None
    if asked.pin_permille is None:
        return pages_photos.pinned(asked.photo, [])
    return pages_photos.new_pin(asked.photo, *asked.pin_permille)


def _photos(job: Job, face: Face) -> list[PhotoRow]:
    """Return the photos of a face as a whole, newest first; close-ups of marks would tell a blind person too much."""
    rows = [row for row in pages_photos.standing_photos(job) if row.face == face and row.purpose != PhotoFor.MARK]
    return [pages_photos.photo_row(row) for row in reversed(rows)]


@dataclass(frozen=True, slots=True)
class _Links:
    """The addresses on the page: each keeps the photo and pin that were asked for."""

    url: str
    asked: Asked

    def _to(self, anchor: str, **query: str) -> str:
        return f"{self.url}?{urlencode({**query, **self.asked.keeps})}#{anchor}"

    def tab(self, one: Face, current: Face, rows: list[Mark], looks: dict[str, FaceLook]) -> FaceTab:
        """Return one face of the six."""
        drawn = pages.drawing(one, rows)
        marks, seen = _count(len(drawn.spots)), one.value in looks
        return FaceTab(
            face=one.value,
            label=one.label.capitalize(),
            url=self._to("add" if self.asked.photo else "faces", face=one.value),
            glyph="full" if seen else "open",
            words=marks if seen else f"{marks}, not looked at",
            here=one is current and self.asked.part is None and not self.asked.asks_face,
            drawing=drawn,
        )

    def part(self, part: LoosePart, rows: list[Mark]) -> PartTab:
        """Return one loose part."""
        here = [row for row in rows if row.loose_part_id == part.pk and pages.is_now(row)]
        return PartTab(self._to("add", part=str(part.pk)), part.words, _count(len(here)), part == self.asked.part)

    def zone(self, face: Face, box: zones.ZoneBox) -> ZoneLink:
        """Return one zone of the drawing."""
        words = f"{face.label.capitalize()}, {box.words}: add a mark"
        here = box.code == self.asked.zone and self.asked.part is None
        return ZoneLink(self._to("add", face=face.value, zone=box.code), words, box.x, box.y, box.side, here)


def _count(count: int) -> str:
    return "no mark" if count == 0 else "1 mark" if count == 1 else f"{count} marks"


def _seen(look: FaceLook) -> str:
    return f"Looked at by {look.by}, {day(look.at)}"


def _second(walks: list[Walk]) -> str:
    """Return how far the second look is."""
    kinds = {walk.kind: len(walk.looks.all()) for walk in walks}
    if WalkKind.SOLD in kinds:
        return "done" if kinds[WalkKind.SOLD] == len(zones.FACES) else "begun"
    return "ask" if kinds.get(WalkKind.ARRIVAL) == len(zones.FACES) else ""


def zone_choices(face: Face | None) -> list[tuple[str, str]]:
    """Return the zones of a face as a form offers them; a loose part has none."""
    if face is None:
        return [("", "The whole part")]
    return [("", "The whole face, or not sure"), *((z.value, zones.zone_words(face, z).capitalize()) for z in Zone)]
