"""Prepared rows of photos: the list of a job, one photo with its pins, arrival and as sold side by side."""

from collections.abc import Collection
from dataclasses import dataclass, field
from decimal import Decimal

from django.urls import reverse

from intake import pages, zones
from intake.models import Mark, Photo
from intake.services.photos import is_locked
from intake.words import PhotoFor
from workshop.core.models import Job, User
from workshop.core.templatetags.measures import clock, day
from workshop.trade.condition.scoring import Face

PIN_WIDE_PX, PIN_NARROW_PX = 640, 280  # widths a photo is drawn at to be pressed: a laptop, the narrowest phone
_DISC_SHARE = Decimal("0.06")  # radius and type size of a number, of the photo's width: 16 px at 280. House policy.


@dataclass(frozen=True, slots=True)
class PhotoRow:
    """A photo as screens print it; `alt` says what it shows. A locked one cannot be taken back any more."""

    pk: int
    alt: str
    caption: str
    url: str
    thumb_url: str
    page_url: str
    width_px: int
    height_px: int
    face: str
    name: str
    asks_face: bool  # it belongs into the comparison and nobody said yet which face it shows
    locked: bool = False


@dataclass(frozen=True, slots=True)
class PhotosSection:
    """The Photos section of the Machine page."""

    url: str
    compare_url: str
    rows: list[PhotoRow]


@dataclass(frozen=True, slots=True)
class Pin:
    """A pin in pixels of the kept photo: a small ring on the flaw, its number on a disc beside it."""

    number: str
    x: int
    y: int
    edge_y: int  # where the line from the disc meets the ring
    disc_y: int
    text_y: int


@dataclass(frozen=True, slots=True)
class Pinned:
    """A photo with its pins drawn over it; `words` says both."""

    url: str
    width_px: int
    height_px: int
    disc_px: int
    ring_px: int
    words: str
    pins: list[Pin] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Across:
    """A photo at a known width, so that a press on it can be turned into a place."""

    wide: str
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True)
class PhotoPage:
    """One photo: its pins, the marks they stand for, and for the owner where the file came from."""

    row: PhotoRow
    picture: Pinned
    marks: list[pages.MarkRow]
    across: list[Across]
    earlier_url: str
    later_url: str
    details: list[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Side:
    """One half of a comparison: photos of a face and the marks it shows, in words."""

    photos: list[tuple[PhotoRow, Pinned]]
    marks: list[str]

    @property
    def holds_any(self) -> bool:
        """Say whether there is a photo or a mark."""
        return bool(self.photos or self.marks)


@dataclass(frozen=True, slots=True)
class FacePair:
    """A face on arrival and as it is sold."""

    label: str
    arrived: Side
    sold: Side


def standing_photos(job: Job) -> list[Photo]:
    """Return the photos of a job that were not taken back, as they came."""
    standing = Photo.objects.filter(job=job, struck=False, corrected_by__isnull=True)
    return list(standing.select_related("by").order_by("pk"))


def photo_rows(job: Job, viewer: User | None = None) -> list[PhotoRow]:
    """Return the photos of a job; photos of marks are kept from somebody who scores it blind just now."""
    hides = viewer is not None and pages.blind_walk(job, viewer) is not None
    locked = is_locked(job)
    rows = [row for row in standing_photos(job) if not (hides and row.purpose == PhotoFor.MARK)]
    return [photo_row(row, locked=locked) for row in rows]


def seller_photo_rows(job: Job) -> list[PhotoRow]:
    """Return the pictures the seller sent, to stand beside what was found."""
    return [photo_row(row) for row in standing_photos(job) if row.purpose == PhotoFor.SELLER]


def photos_section(job: Job, viewer: User | None = None) -> PhotosSection:
    """Return the Photos section: every photo of the job that was not taken back."""
    name = job.machine.slug
    compare = reverse("intake:photos_compare", args=[name])
    return PhotosSection(reverse("intake:intake", args=[name]) + "#photos", compare, photo_rows(job, viewer))


def photo_row(photo: Photo, *, locked: bool = False) -> PhotoRow:
    """Return a photo ready to print; on arrival photos `locked` says that Intake was signed off."""
    purpose = PhotoFor(photo.purpose).label
    where = f"{Face(photo.face).label.capitalize()}, photo" if photo.face else "Photo"
    taken = f"taken {day(photo.taken_at)}" if photo.taken_at else f"added {day(photo.at)}"
    return PhotoRow(
        pk=photo.pk,
        alt=f"{where} {photo.number}: {purpose[:1].lower()}{purpose[1:]}",
        caption=f"{where} {photo.number}. {purpose}, {taken}",
        url=reverse("intake:photo", args=[photo.sha]),
        thumb_url=reverse("intake:photo_thumb", args=[photo.sha]),
        page_url=reverse("intake:photo_one", args=[photo.pk]),
        width_px=photo.width_px,
        height_px=photo.height_px,
        face=photo.face,
        name=str(photo),
        asks_face=not photo.face and photo.purpose in (PhotoFor.ARRIVAL, PhotoFor.SOLD),
        locked=locked and photo.purpose == PhotoFor.ARRIVAL,
    )


def pinned(photo: Photo, rows: Collection[Mark]) -> Pinned:
    """Return a photo with the pins of the marks that stand on it."""
    here = [row for row in rows if row.photo_id == photo.pk and row.withdrawn_at is None]
    spots = [(str(r.number), r.pin_x_permille, r.pin_y_permille) for r in here if r.pin_x_permille is not None]
    alt = photo_row(photo).alt
    numbers = ", ".join(number for number, _, _ in spots)
    return _picture(photo, [(n, x, y or 0) for n, x, y in spots], f"{alt}. Pins: {numbers}" if spots else alt)


def new_pin(photo: Photo, x_permille: int, y_permille: int) -> Pinned:
    """Return a photo with the pin that is about to be saved."""
    return _picture(photo, [("", x_permille, y_permille)], f"{photo_row(photo).alt}, with the new pin")


def _picture(photo: Photo, spots: Collection[tuple[str, int, int]], words: str) -> Pinned:
    disc = max(6, int(_DISC_SHARE * photo.width_px))
    ring = disc // 2
    pins = []
    for number, x_permille, y_permille in spots:
        x, y = x_permille * photo.width_px // 1000, y_permille * photo.height_px // 1000
        side = -1 if y > 3 * disc else 1  # above the flaw, where there is room
        disc_y = y + side * 2 * disc
        pins.append(Pin(number, x, y, y + side * ring, disc_y, disc_y + disc * 2 // 5))
    url = reverse("intake:photo", args=[photo.sha])
    return Pinned(url, photo.width_px, photo.height_px, disc, ring, words, pins)


def photo_page(photo: Photo, viewer: User) -> PhotoPage:
    """Return one photo's page. Where its file came from is shown to the owner only."""
    rows = pages.marks(photo.job, pages.blind_walk(photo.job, viewer))
    urls = [row.page_url for row in photo_rows(photo.job, viewer)]
    row = photo_row(photo, locked=is_locked(photo.job))
    place = urls.index(row.page_url) if row.page_url in urls else 0
    return PhotoPage(
        row=row,
        picture=pinned(photo, rows),
        marks=[pages.mark_row(r) for r in rows if r.photo_id == photo.pk and r.withdrawn_at is None],
        across=[_across(photo, wide, px) for wide, px in (("wide", PIN_WIDE_PX), ("narrow", PIN_NARROW_PX))],
        earlier_url=urls[place - 1] if place else "",
        later_url=urls[place + 1] if place + 1 < len(urls) else "",
        details=_details(photo) if viewer.is_owner else [],
    )


def _across(photo: Photo, wide: str, width_px: int) -> Across:
    return Across(wide, width_px, max(1, round(photo.height_px * width_px / photo.width_px)))


def place_permille(photo: Photo, across_px: int, x_px: int, y_px: int) -> tuple[int, int] | None:
    """Return where a press fell, in thousandths of width and height; None for a press by keyboard, which has no place.

    `across_px` is the width the photo was drawn at, the press is in pixels from its upper left corner.
    """
    if (x_px, y_px) == (0, 0):
        return None
    down_px = max(1, round(photo.height_px * across_px / photo.width_px))
    x, y = round(x_px * 1000 / across_px), round(y_px * 1000 / down_px)
    return min(max(x, 0), 1000), min(max(y, 0), 1000)


def _details(photo: Photo) -> list[tuple[str, str]]:
    taken = f"{day(photo.taken_at)}, {clock(photo.taken_at)}" if photo.taken_at else "the file does not say"
    return [
        ("Taken", taken),
        ("Kept", f"{day(photo.at)}, {clock(photo.at)}, by {photo.by}"),
        ("Kept size", f"{photo.width_px} by {photo.height_px} pixels"),
        ("SHA-256 of the file sent", photo.original_sha),
        ("SHA-256 of the file kept", photo.sha),
        ("Place data", "none kept"),
    ]


def compare(job: Job) -> list[FacePair]:
    """Return each face on arrival and as sold: photos with pins, marks in words; faces with nothing are left out.

    A machine that came back and was not photographed anew is compared as it was bought and sold the first time.
    """
    photos, rows = standing_photos(job), pages.marks(job)
    pairs = [_pair(face, photos, rows) for face in (*zones.FACES, None)]
    found = [pair for pair in pairs if pair.arrived.holds_any or pair.sold.holds_any]
    return compare(job.first_job) if not found and job.first_job else found


def _pair(face: Face | None, photos: Collection[Photo], rows: Collection[Mark]) -> FacePair:
    code = face.value if face else ""
    here = [row for row in rows if row.face == code and row.withdrawn_at is None]
    came, sold = pages.on_arrival(here), [row for row in here if pages.is_now(row)]
    gone = [_line(row, "mended, was ") for row in here if row.mended_at is not None]
    shown: dict[PhotoFor, list[tuple[PhotoRow, Pinned]]] = {PhotoFor.ARRIVAL: [], PhotoFor.SOLD: []}
    for photo in photos:
        if side := _side(photo, code, rows):
            shown[side].append((photo_row(photo), pinned(photo, here)))
    return FacePair(
        label=face.label.capitalize() if face else "Several faces and loose parts",
        arrived=Side(shown[PhotoFor.ARRIVAL], [_line(row) for row in came]),
        sold=Side(shown[PhotoFor.SOLD], [_line(row) for row in sold] + gone),
    )


def _side(photo: Photo, code: str, rows: Collection[Mark]) -> PhotoFor | None:
    """Return where a photo stands under a face, or None: under its own, else under those of the marks pinned on it.

    A photo taken for something else stands there only for the marks pinned on it, on the side they were found.
    """
    compared = photo.purpose in (PhotoFor.ARRIVAL, PhotoFor.SOLD)
    if compared and photo.face:
        return PhotoFor(photo.purpose) if photo.face == code else None
    pins = [row for row in rows if row.photo_id == photo.pk and row.pin_x_permille is not None]
    pins = [row for row in pins if row.withdrawn_at is None]
    if compared and not pins:
        return None if code else PhotoFor(photo.purpose)
    here = [row for row in pins if row.face == code]
    if not here:
        return None
    if compared:
        return PhotoFor(photo.purpose)
    return PhotoFor.ARRIVAL if pages.on_arrival(here) else PhotoFor.SOLD


def _line(mark: Mark, before: str = "") -> str:
    return f"{mark.number}: {before}{pages.mark_words(mark)}"
