"""Writers of photos: the files are on disk already (intake.photos), here they get their rows."""

from collections.abc import Collection

from django.db.models import Max

from intake.models import Photo
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
        if photo.struck or Photo.objects.filter(corrects=photo).exists():
            raise Refused("This photo was taken back already.")
        if photo.purpose == PhotoFor.ARRIVAL and is_locked(photo.job):
            raise Refused("Intake was signed off: arrival photos stay as they are. Add another photo beside it.")
        if photo.marks.filter(withdrawn_at__isnull=True).exists():
            raise Refused("A mark shows this photo. Take the mark back first.")
        same = ("machine_id", "job_id", "face", "number", "purpose", "sha", "original_sha", "taken_at")
        copied = {name: getattr(photo, name) for name in (*same, "width_px", "height_px")}
        row = Photo.objects.create(**copied, by=act.by, at=act.at, corrects=photo, struck=True)
        return acts.write(act, "take_photo_back", f"Took back a photo: {photo}", row, job=photo.job)


def is_locked(job: Job) -> bool:
    """Say whether the arrival photos are evidence by now: Intake was signed off, were it once and withdrawn since."""
    return Signoff.objects.filter(job=job, station=STATION_CODE).exists()


def keep_rows(act: Act, job: Job, kept: Collection[Kept], *, face: str, purpose: PhotoFor) -> list[Photo]:
    """Write the rows of kept files inside the caller's act; a picture that is there already is left out."""
    standing = Photo.objects.filter(job=job, struck=False, corrected_by__isnull=True)
    here = set(standing.filter(purpose=purpose).values_list("sha", flat=True))
    last = Photo.objects.filter(job=job, face=face).aggregate(last=Max("number"))["last"] or 0
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
