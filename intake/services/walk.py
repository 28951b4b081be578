"""Writers of the walk-round: faces looked at, marks, and the second look before the sale."""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import F, Max

from intake import found, zones
from intake.models import FaceLook, Mark, Photo, Walk
from intake.photos import Kept
from intake.services.guard import open_job
from intake.services.photos import keep_rows
from intake.words import PhotoFor, WalkKind
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.words import FoundIn
from workshop.trade.condition.scoring import RULE_VERSION, Face, MarkKind, Shows


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMark:
    """A flaw as it was seen, with its photo when one was taken."""

    face: Face
    zone: str = ""
    kind: MarkKind
    size_mm: Decimal
    shows: Shows
    photo: Kept | None = None


def walk_now(act: Act, job: Job) -> Walk:
    """Return the walk that marks go to: the second look once it began, else the one on arrival (made if need be)."""
    walk = Walk.objects.filter(job=job).order_by("-pk").first()
    return walk or _begin(act, job, WalkKind.ARRIVAL)


def _begin(act: Act, job: Job, kind: WalkKind) -> Walk:
    return Walk.objects.create(job=job, kind=kind, by=act.by, at=act.at, rule_version=RULE_VERSION)


def add_mark(act: Act, job: Job, new: NewMark) -> JournalEntry:
    """Add a mark; its number is the next of the job, whichever walk it is found on."""
    with acts.once(act):
        open_job(job)
        walk = walk_now(act, job)
        last = Mark.objects.filter(walk__job=job).aggregate(last=Max("number"))["last"] or 0
        row = Mark.objects.create(
            walk=walk,
            number=last + 1,
            face=new.face,
            zone=new.zone,
            kind=new.kind,
            size_mm=new.size_mm,
            shows=new.shows,
            photo=_photo(act, job, new),
            by=act.by,
            at=act.at,
        )
        found.refresh(job, FoundIn.MARK)
        sentence = f"Mark {row.number}: {zones.where(new.face, new.zone)}, {new.kind.label}"
        return acts.write(act, "add_mark", sentence, row, job=job, after={"size_mm": new.size_mm, "shows": new.shows})


def _photo(act: Act, job: Job, new: NewMark) -> Photo | None:
    if new.photo is None:
        return None
    rows = keep_rows(act, job, [new.photo], face=new.face, purpose=PhotoFor.MARK)
    if rows:
        return rows[0]
    here = Photo.objects.filter(job=job, sha=new.photo.sha, purpose=PhotoFor.MARK, struck=False)
    return here.filter(corrected_by__isnull=True).order_by("pk").first()


def mend_mark(act: Act, mark: Mark) -> JournalEntry:
    """Note that a mark is gone: it stays in the score on arrival only. :raises Refused: mended or taken back."""
    return _set(act, mark, "mended", on=True, verb="mend_mark", words="Mended", no="This mark is mended already.")


def unmend_mark(act: Act, mark: Mark) -> JournalEntry:
    """Take the word "mended" off a mark. :raises Refused: when it is not mended."""
    return _set(act, mark, "mended", on=False, verb="unmend_mark", words="Not mended", no="This mark is not mended.")


def take_mark_back(act: Act, mark: Mark) -> JournalEntry:
    """Take a mark back as a slip: it counts nowhere, and can be put back. :raises Refused: taken back already."""
    no = "This mark was taken back already."
    return _set(act, mark, "withdrawn", on=True, verb="take_mark_back", words="Took back", no=no)


def put_mark_back(act: Act, mark: Mark) -> JournalEntry:
    """Put a mark back that was taken back. :raises Refused: when it stands."""
    return _set(act, mark, "withdrawn", on=False, verb="put_mark_back", words="Put back", no="This mark stands.")


def _set(act: Act, mark: Mark, name: str, *, on: bool, verb: str, words: str, no: str) -> JournalEntry:
    """Set or clear a pair of `_at` and `_by` columns, once."""
    job = mark.walk.job
    with acts.once(act):
        open_job(job)
        standing = Mark.objects.filter(pk=mark.pk, **{f"{name}_at__isnull": on})
        pair = {f"{name}_at": act.at if on else None, f"{name}_by": act.by if on else None}
        if not standing.update(**pair, version=F("version") + 1):
            raise Refused(no)
        mark.refresh_from_db()
        found.refresh(job, FoundIn.MARK)
        return acts.write(act, verb, f"{words}: {mark}", mark, job=job)


def look_at_face(act: Act, job: Job, face: Face) -> JournalEntry:
    """Note that a person looked at a face. :raises Refused: when it was looked at on this walk."""
    with acts.once(act):
        open_job(job)
        row = _look(act, walk_now(act, job), [face])
        if not row:
            raise Refused(f"{face.label.capitalize()} was looked at already.")
        return acts.write(act, "look_at_face", f"Looked at {face.label}", row[0], job=job)


def look_at_all_faces(act: Act, job: Job) -> JournalEntry:
    """Note that a person looked at every face that was not looked at yet. :raises Refused: when all were."""
    with acts.once(act):
        open_job(job)
        walk = walk_now(act, job)
        rows = _look(act, walk, zones.FACES)
        if not rows:
            raise Refused("All six faces were looked at already.")
        after = {"ids": [row.pk for row in rows]}
        return acts.write(act, "look_at_all_faces", "Looked at all six faces", walk, job=job, after=after)


def _look(act: Act, walk: Walk, faces: Collection[Face]) -> list[FaceLook]:
    seen = set(walk.looks.values_list("face", flat=True))
    return [FaceLook.objects.create(walk=walk, face=face, by=act.by, at=act.at) for face in faces if face not in seen]


def begin_second_look(act: Act, job: Job) -> JournalEntry:
    """Begin the second look: new marks and faces go to it from now on. :raises Refused: when it began already."""
    with acts.once(act):
        walk = _second(act, job)
        return acts.write(act, "begin_second_look", "Began the second look", walk, job=job)


def look_again(act: Act, job: Job) -> JournalEntry:
    """Answer the second look with "same as arrived": all six faces looked at, no mark added.

    :raises Refused: when the first walk is not finished, or the second look began already
    """
    with acts.once(act):
        walk = _second(act, job)
        _look(act, walk, zones.FACES)
        return acts.write(act, "look_again", "Second look: same as arrived", walk, job=job)


def _second(act: Act, job: Job) -> Walk:
    open_job(job)
    first = Walk.objects.filter(job=job, kind=WalkKind.ARRIVAL).first()
    if first is None or first.looks.count() < len(zones.FACES):
        raise Refused("Finish the walk-round first: all six faces.")
    if Walk.objects.filter(job=job, kind=WalkKind.SOLD).exists():
        raise Refused("The second look began already. Look at the faces on the walk-round.")
    return _begin(act, job, WalkKind.SOLD)
