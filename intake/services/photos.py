"""Writers of photos: the files are on disk already (intake.photos), here they get their rows."""

from collections.abc import Collection, Mapping
from typing import Any

from django.db.models import F, Max

from intake.models import Mark, Photo
from intake.photos import Kept
from intake.services.guard import open_job
from intake.words import STATION_CODE, PhotoFor
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Signoff


def add_photos(act: Act, job: Job, kept: Collection[Kept], *, face: str, purpose: PhotoFor) -> JournalEntry:
    """Add photos to a job. The same picture for the same purpose is kept once.

    :raises Refused: when there is none, or all are there already
    """
    with acts.once(act):
        open_job(job)
        if not kept:
            raise Refused("No photo was chosen. Choose one or more.", field="photos")
        rows = keep_rows(act, job, kept, face=face, purpose=purpose)
        if not rows:
            raise Refused("These photos are here already.", field="photos")
        count = "1 photo" if len(rows) == 1 else f"{len(rows)} photos"
        after = {"ids": [row.pk for row in rows], "face": face, "purpose": purpose}
        return acts.write(act, "add_photos", f"Added {count}", rows[0], job=job, after=after)


def take_photo_back(act: Act, photo: Photo) -> JournalEntry:
    """Take a photo back as a slip: a new row names it and neither is shown.

    :raises Refused: when a mark shows it, and for an arrival photo once Intake was signed off: it is evidence
    """
    with acts.once(act):
        open_job(photo.job)
        later = Photo.objects.filter(corrects=photo).first()
        if later is not None and not later.struck:
            raise Refused("This photo was given a face since. Take it back on Intake.")
        if photo.struck or later is not None:
            raise Refused("This photo was taken back already.")
        if photo.purpose == PhotoFor.ARRIVAL and is_locked(photo.job):
            raise Refused("Intake was signed off: arrival photos stay as they are. Add another photo beside it.")
        if photo.marks.filter(withdrawn_at__isnull=True).exists():
            raise Refused("A mark shows this photo. Take the mark back first.")
        row = Photo.objects.create(**_copied(photo) | {"by_id": act.by.pk, "at": act.at}, corrects=photo, struck=True)
        return acts.write(act, "take_photo_back", f"Took back a photo: {photo}", row, job=photo.job)


def give_faces(act: Act, job: Job, faces: Mapping[int, str]) -> JournalEntry:
    """Say which face photos show, by their id ("" is several, or none). Locked arrival photos may be given one too.

    A new row names the old one and carries its file, its times and who brought it; its marks come along.
    :raises Refused: when none would change
    """
    with acts.once(act):
        open_job(job)
        standing = Photo.objects.filter(job=job, pk__in=faces, struck=False, corrected_by__isnull=True).order_by("pk")
        rows = [_with_face(photo, faces[photo.pk]) for photo in standing if photo.face != faces[photo.pk]]
        if not rows:
            raise Refused("Choose the face of one photo or more.")
        old = "1 photo" if len(rows) == 1 else f"{len(rows)} photos"
        shown = ", ".join(str(row) for row in rows)
        after = {"ids": [row.pk for row in rows], "corrects": [row.corrects_id for row in rows]}
        sentence = f"Said which face shows on {old}: {shown}"
        return acts.write(act, "give_faces", sentence, rows[0], job=job, after=after)


def _with_face(photo: Photo, face: str) -> Photo:
    row = Photo.objects.create(
        **_copied(photo) | {"face": face, "number": _last(photo.job_id, face) + 1}, corrects=photo
    )
    Mark.objects.filter(photo=photo).update(photo=row, version=F("version") + 1)
    return row


def _copied(photo: Photo) -> dict[str, Any]:
    """Return what a row that corrects a photo has of it: the file is the same, and so is where it came from."""
    same = ("machine_id", "job_id", "face", "number", "purpose", "sha", "original_sha", "taken_at", "by_id", "at")
    return {name: getattr(photo, name) for name in (*same, "width_px", "height_px")}


def _last(job_id: int, face: str) -> int:
    return Photo.objects.filter(job_id=job_id, face=face).aggregate(last=Max("number"))["last"] or 0


def is_locked(job: Job) -> bool:
    """Say whether the arrival photos are evidence by now: Intake was signed off, were it once and withdrawn since."""
    return Signoff.objects.filter(job=job, station=STATION_CODE).exists()


def keep_rows(act: Act, job: Job, kept: Collection[Kept], *, face: str, purpose: PhotoFor) -> list[Photo]:
    """Write the rows of kept files inside the caller's act; a picture that is there already is left out."""
    standing = Photo.objects.filter(job=job, struck=False, corrected_by__isnull=True)
    here = set(standing.filter(purpose=purpose).values_list("sha", flat=True))
    last = _last(job.pk, face)
    fresh = {one.sha: one for one in kept if one.sha not in here}
    rows = [
        Photo(
            machine=job.machine,
            job=job,
            face=face,
            number=last + place,
            sha=one.sha,
            original_sha=one.original_sha,
            purpose=purpose,
            width_px=one.width_px,
            height_px=one.height_px,
            taken_at=one.taken_at,
            by=act.by,
            at=act.at,
        )
        for place, one in enumerate(fresh.values(), start=1)
    ]
    return Photo.objects.bulk_create(rows)
