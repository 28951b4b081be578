"""Writers of seal work."""

from decimal import Decimal

from intake.services.guard import refuse_work_on_hold
from workshop.bench.models import SealWork
from workshop.bench.models.corrections import STANDS
from workshop.bench.services.work import take_part
from workshop.bench.words import SealEnd, say_count
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, SealPosition
from workshop.parts.models import Part


def answer_seal(
    act: Act,
    job: Job,
    position: SealPosition,
    *,
    end: str,
    why: str = "",
    size: str = "",
    material: str = "",
    thickness_mm: Decimal | None = None,
    lock_in_clock: str = "",
    part: Part | None = None,
    sure: str = "",
) -> JournalEntry:
    """Say what became of one seal.

    :raises Refused: changed on hold, kept without why, or a new group seal without its lock-in position
    :raises Odd: when that part was taken for this machine today, until a second press says yes
    """
    with acts.once(act):
        if end == SealEnd.CHANGED:
            refuse_work_on_hold(act, job, "changing a seal")
        if end == SealEnd.KEPT and not why:
            raise Refused("Say why it was kept: what you saw or measured.", field="why")
        if end == SealEnd.CHANGED and position.is_group and not lock_in_clock:
            raise Refused("Lock the handle in and note where it points, like half past 6.", field="lock_in_clock")
        movement = take_part(act, part, 1, job, sure) if part and end == SealEnd.CHANGED else None
        row = SealWork.objects.create(
            job=job,
            position=position,
            end=end,
            why=why,
            size=size or (part.size if part else "") or position.size,
            material=material or (part.material if part else ""),
            thickness_mm=thickness_mm,
            lock_in_clock=lock_in_clock,
            movement=movement,
            by=act.by,
            at=act.at,
        )
        return acts.write(act, "answer_seal", str(row), row, job=job)


def keep_other_seals(act: Act, job: Job, *, why: str) -> JournalEntry:
    """Keep every wear seal that has no answer yet, for one reason. :raises Refused: when each has its answer."""
    with acts.once(act):
        answered = SealWork.objects.filter(STANDS, job=job).values("position_id")
        open_ = job.machine.notes.seals.filter(wears=True).exclude(pk__in=answered).order_by("pk")
        rows = [
            SealWork(job=job, position=p, end=SealEnd.KEPT, why=why, size=p.size, by=act.by, at=act.at) for p in open_
        ]
        if not rows:
            raise Refused("Every wear seal has its answer already.")
        for row in rows:
            row.save()
        return acts.write(act, "keep_other_seals", f"Kept {say_count(len(rows), 'wear seal')}: {why}", rows[0], job=job)


def leave_inside_seals(act: Act, job: Job) -> JournalEntry:
    """Answer every inside seal without an answer with 'not disturbed', in one press."""
    with acts.once(act):
        answered = SealWork.objects.filter(STANDS, job=job).values("position_id")
        inside = job.machine.notes.seals.filter(wears=False).exclude(pk__in=answered).order_by("pk")
        rows = [SealWork(job=job, position=p, end=SealEnd.NOT_DISTURBED, by=act.by, at=act.at) for p in inside]
        if not rows:
            raise Refused("Every inside seal has its answer already.")
        for row in rows:
            row.save()
        return acts.write(
            act, "leave_inside_seals", f"Left {say_count(len(rows), 'inside seal')} undisturbed", rows[0], job=job
        )
