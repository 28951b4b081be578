"""Writers of the walk-round: faces looked at, marks, and the second look before the sale.

Somebody who scores the machine blind (`intake.services.blind`) writes to their own walk with the same acts.
"""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import F, Max, Q

from intake import found, zones
from intake.models import FaceLook, LoosePart, Mark, Photo, Walk
from intake.photos import Kept
from intake.services.guard import open_job, refuse_work_on_hold
from intake.services.photos import keep_rows
from intake.words import PhotoFor, WalkKind
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.words import FoundIn
from workshop.trade.condition.scoring import RULE_VERSION, Face, MarkKind, Shows


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMark:
    """A flaw as it was seen, on a face or on a loose part; with a new photo, or with a pin on one that is there.

    The pin is in thousandths of the photo's width and height.
    """

    face: Face | None = None
    zone: str = ""
    loose_part: LoosePart | None = None
    kind: MarkKind
    size_mm: Decimal
    shows: Shows
    photo: Kept | None = None
    pinned_on: Photo | None = None
    pin_permille: tuple[int, int] | None = None


def walk_now(act: Act, job: Job) -> Walk:
    """Return the walk that this person's marks go to: their own blind one while it is open, else the second look
    once it began, else the one on arrival (made if need be).
    """
    walks = list(Walk.objects.filter(job=job).order_by("-pk"))
    own = [w for w in walks if w.kind == WalkKind.SECOND and w.by_id == act.by.pk and w.finished_at is None]
    shared = [w for w in walks if w.kind != WalkKind.SECOND]
    return next(iter(own + shared), None) or begin(act, job, WalkKind.ARRIVAL)


def begin(act: Act, job: Job, kind: WalkKind) -> Walk:
    """Begin a walk under today's rule, inside the caller's act."""
    return Walk.objects.create(job=job, kind=kind, by=act.by, at=act.at, rule_version=RULE_VERSION)


def add_mark(act: Act, job: Job, new: NewMark) -> JournalEntry:
    """Add a mark; its number is the next of the job, whichever walk it is found on (a blind walk counts its own).

    :raises Refused: when its loose part or its photo belongs to another job, or the photo was taken back
    """
    with acts.once(act):
        open_job(job)
        _refuse_strange(job, new)
        walk = walk_now(act, job)
        row = Mark.objects.create(
            walk=walk,
            number=_next_number(walk),
            face=new.face or "",
            zone=new.zone,
            loose_part=new.loose_part,
            kind=new.kind,
            size_mm=new.size_mm,
            shows=new.shows,
            photo=_photo(act, job, new),
            pin_x_permille=new.pin_permille[0] if new.pin_permille else None,
            pin_y_permille=new.pin_permille[1] if new.pin_permille else None,
            by=act.by,
            at=act.at,
        )
        found.refresh(job, FoundIn.MARK)
        after = {"size_mm": new.size_mm, "shows": new.shows}
        return acts.write(act, "add_mark", _added(row, new), row, job=job, after=after)


def _added(row: Mark, new: NewMark) -> str:
    """Return the record's sentence: a blind mark does not say where, or the first person would learn from it."""
    if row.walk.kind == WalkKind.SECOND:
        return f"Blind look, mark {row.number}"
    where = zones.where(new.face, new.zone) if new.face else str(new.loose_part)
    return f"Mark {row.number}: {where}, {new.kind.label}"


def _refuse_strange(job: Job, new: NewMark) -> None:
    if new.loose_part is not None and new.loose_part.job_id != job.pk:
        raise Refused("This loose part belongs to another machine. Choose it again.")
    photo = new.pinned_on
    if photo is not None and (photo.job_id != job.pk or photo.struck or photo_taken_back(photo)):
        raise Refused("This photo was taken back. Choose another one, or add the mark without it.")


def photo_taken_back(photo: Photo) -> bool:
    """Say whether a later row took this photo back."""
    return Photo.objects.filter(corrects=photo).exists()


def _next_number(walk: Walk) -> int:
    rows = Mark.objects.filter(walk=walk)
    if walk.kind != WalkKind.SECOND:
        rows = Mark.objects.filter(walk__job=walk.job).exclude(walk__kind=WalkKind.SECOND)
    return (rows.aggregate(last=Max("number"))["last"] or 0) + 1


def _photo(act: Act, job: Job, new: NewMark) -> Photo | None:
    if new.photo is None:
        return new.pinned_on
    rows = keep_rows(act, job, [new.photo], face=new.face or "", purpose=PhotoFor.MARK)
    if rows:
        return rows[0]
    here = Photo.objects.filter(job=job, sha=new.photo.sha, purpose=PhotoFor.MARK, struck=False)
    return here.filter(corrected_by__isnull=True).order_by("pk").first()


def mend_mark(act: Act, mark: Mark) -> JournalEntry:
    """Note that a mark is gone: it stays in the score on arrival only.

    :raises Refused: mended or taken back, on hold, or a blind walk's: that one says what was seen
    """
    if mark.walk.kind == WalkKind.SECOND:
        raise Refused("This mark belongs to the blind look. Mend the workshop's own mark.")
    refuse_work_on_hold(act, mark.walk.job, "mending a mark")
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
        _refuse_blind(act, mark.walk)
        standing = Mark.objects.filter(pk=mark.pk, **{f"{name}_at__isnull": on})
        pair = {f"{name}_at": act.at if on else None, f"{name}_by": act.by if on else None}
        if not standing.update(**pair, version=F("version") + 1):
            raise Refused(no)
        mark.refresh_from_db()
        found.refresh(job, FoundIn.MARK)
        return acts.write(act, verb, f"{words}: {mark}", mark, job=job)


def _refuse_blind(act: Act, walk: Walk) -> None:
    """A blind walk is its own person's, and stays as it is once it is finished."""
    if walk.kind != WalkKind.SECOND:
        return
    if walk.finished_at is not None:
        raise Refused("The blind look is finished: its marks stay as they are.")
    if walk.by_id != act.by.pk:
        raise Refused("Only the person who scores blind may change these marks.")


def look_at_face(act: Act, job: Job, face: Face) -> JournalEntry:
    """Note that a person looked at a face. :raises Refused: when it was looked at on this walk."""
    with acts.once(act):
        open_job(job)
        walk = walk_now(act, job)
        row = _look(act, walk, [face])
        if not row:
            raise Refused(f"{face.label.capitalize()} was looked at already.")
        sentence = f"{_blindly(walk)}Looked at {face.label}"
        return acts.write(act, "look_at_face", sentence, row[0], job=job)


def look_at_all_faces(act: Act, job: Job) -> JournalEntry:
    """Note that a person looked at every face that was not looked at yet. :raises Refused: when all were."""
    with acts.once(act):
        open_job(job)
        walk = walk_now(act, job)
        rows = _look(act, walk, zones.FACES)
        if not rows:
            raise Refused("All six faces were looked at already.")
        after = {"ids": [row.pk for row in rows]}
        sentence = f"{_blindly(walk)}Looked at all six faces"
        return acts.write(act, "look_at_all_faces", sentence, walk, job=job, after=after)


def _blindly(walk: Walk) -> str:
    return "Blind look: " if walk.kind == WalkKind.SECOND else ""


def _look(act: Act, walk: Walk, faces: Collection[Face]) -> list[FaceLook]:
    seen = set(walk.looks.values_list("face", flat=True))
    return [FaceLook.objects.create(walk=walk, face=face, by=act.by, at=act.at) for face in faces if face not in seen]


def begin_second_look(act: Act, job: Job) -> JournalEntry:
    """Begin the second look: new marks and faces go to it from now on. :raises Refused: when it began already."""
    with acts.once(act):
        walk = _again(act, job)
        return acts.write(act, "begin_second_look", "Began the second look", walk, job=job)


def look_again(act: Act, job: Job) -> JournalEntry:
    """Answer the second look with "same as arrived": all six faces looked at, no mark added.

    :raises Refused: when the first walk is not finished, the second look began already, or a mark is gone since
    """
    with acts.once(act):
        walk = _again(act, job)
        _refuse_other(job)
        _look(act, walk, zones.FACES)
        return acts.write(act, "look_again", "Second look: same as arrived", walk, job=job)


def _refuse_other(job: Job) -> None:
    """Refuse "same as arrived" where the record says otherwise. A slip taken back during the first walk is none."""
    first = Walk.objects.filter(job=job, kind=WalkKind.ARRIVAL).annotate(done_at=Max("looks__at")).get()
    gone = Q(mended_at__isnull=False, withdrawn_at__isnull=True) | Q(withdrawn_at__gt=first.done_at)
    numbers = [str(n) for n in first.marks.filter(gone).order_by("number").values_list("number", flat=True)]
    if numbers:
        which = f"Mark {numbers[0]} is" if len(numbers) == 1 else f"Marks {', '.join(numbers)} are"
        raise Refused(f"{which} gone since it arrived, so it is not the same. Look again face by face.")


def _again(act: Act, job: Job) -> Walk:
    open_job(job)
    first = Walk.objects.filter(job=job, kind=WalkKind.ARRIVAL).first()
    if first is None or first.looks.count() < len(zones.FACES):
        raise Refused("Finish the walk-round first: all six faces.")
    if Walk.objects.filter(job=job, kind=WalkKind.SOLD).exists():
        raise Refused("The second look began already. Look at the faces on the walk-round.")
    return begin(act, job, WalkKind.SOLD)
