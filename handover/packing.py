"""Packing for a carrier: drained, wrapped, weighed, photographed; also what is missing before it may go."""

from collections.abc import Collection
from dataclasses import asdict, dataclass, fields
from decimal import Decimal
from typing import Any

from handover.models import Packed, Received, Reservation
from handover.words import GoesBy
from intake.models import Photo
from intake.photos import Kept
from intake.services import add_photos
from intake.words import PhotoFor
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.words import Kind

NOT_PACKED = "It is not packed."


@dataclass(frozen=True, slots=True)
class NewPack:
    """How a machine was packed."""

    boilers_drained: bool
    tank_drained: bool
    wraps: list[list[str]]
    weight_kg: Decimal
    insured_minor: int | None
    carrier: str
    tracking: str = ""


def standing(job: Job) -> Packed | None:
    """Return how a job's machine is packed, if it is."""
    row = Packed.objects.filter(job=job).select_related("by").order_by("-pk").first()
    return None if row is None or row.taken_back else row


def holds_water(job: Job) -> bool:
    """Say whether there is water to drain: a grinder alone has none."""
    return bool(job.machine.notes.kind != Kind.GRINDER)


def parts(job: Job) -> list[str]:
    """Return what goes with the machine, as it was counted with the buyer; nothing before."""
    row = Received.objects.filter(job=job).order_by("-pk").first()
    return list(row.lines) if row else []


def pack(act: Act, job: Job, new: NewPack) -> JournalEntry:
    """Keep how it was packed; the newest counts.

    :raises Refused: before the goods were counted, with water in it, or once it has left
    """
    with acts.once(act):
        _refuse_gone(job)
        if not parts(job):
            raise Refused("Count what goes with the machine first: each part is wrapped.")
        if holds_water(job) and not (new.boilers_drained and new.tank_drained):
            raise Refused("Drain boilers and tank first: what stays inside freezes on the way.")
        row = Packed.objects.create(job=job, **asdict(new), by=act.by, at=act.at)
        return acts.write(act, "pack", f"{row}, {row.weight_kg.normalize():f} kg", row, job=job)


def track(act: Act, job: Job, tracking: str) -> JournalEntry:
    """Keep the carrier's number, also after it has left. :raises Refused: before it is packed"""
    with acts.once(act):
        row = standing(job)
        if row is None:
            raise Refused(NOT_PACKED)
        again = Packed.objects.create(**_same(row) | {"tracking": tracking}, by=act.by, at=act.at)
        return acts.write(act, "track", "Kept the carrier's tracking number", again, job=job)


def unpack(act: Act, row: Packed | None) -> JournalEntry:
    """Take packing back: the box was opened again.

    :raises Refused: once it has left, when it is not packed, or when packed anew since
    """
    with acts.once(act):
        if row is None:
            raise Refused(NOT_PACKED)
        _refuse_gone(row.job)
        if standing(row.job) != row:
            raise Refused("It was packed anew or unpacked since.")
        Packed.objects.create(**_same(row), taken_back=True, by=act.by, at=act.at)
        return acts.write(act, "unpack", "Unpacked it again", row, job=row.job)


def _refuse_gone(job: Job) -> None:
    if job.closed_at is not None:
        raise Refused("It has left: how it was packed stays as it was.")


def _same(row: Packed) -> dict[str, Any]:
    names = [each.name for each in fields(NewPack)]
    return {"job": row.job} | {name: getattr(row, name) for name in names}


def photos(job: Job) -> list[Photo]:
    """Return the photos of the box, the oldest first."""
    rows = Photo.objects.filter(job=job, purpose=PhotoFor.BOX, struck=False, corrected_by__isnull=True)
    return list(rows.order_by("pk"))


def add_box_photos(act: Act, job: Job, kept: Collection[Kept]) -> JournalEntry:
    """Add photos of the box. :raises Refused: none chosen, there already, or the machine has gone."""
    return add_photos(act, job, kept, face="", purpose=PhotoFor.BOX)


def asked(job: Job) -> bool:
    """Say whether a carrier brings it, as it was reserved."""
    return Reservation.objects.filter(job=job, cancelled_at__isnull=True, goes_by=GoesBy.CARRIER).exists()


def missing(job: Job) -> list[str]:
    """Return what a machine that goes by carrier still lacks, in sentences."""
    row = standing(job)
    if row is None:
        return ["It goes by carrier: drain it, wrap every part and fill in the pack card."]
    lacks = []
    wrapped = [part for part, _ in row.wraps]
    if left := [part for part in parts(job) if part not in wrapped]:
        lacks.append(f"Counted since it was packed: {', '.join(left)}. Pack again.")
    if not photos(job):
        lacks.append("Photograph the box before the carrier takes it.")
    return lacks
