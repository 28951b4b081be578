"""Writers of work, of the case being opened and shut, and of 'not needed, because'."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Sum

from intake.services.guard import refuse_work_on_hold
from workshop.bench import found
from workshop.bench.models import CaseOpening, NotNeeded, SealWork, Shot, WorkDone
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import WorkStation
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Reading
from workshop.parts import services as parts
from workshop.parts.models import Movement, Part


def add_work(
    act: Act,
    job: Job,
    *,
    station: str,
    what: str,
    minutes: int,
    part: Part | None,
    qty: int = 1,
    as_usual: bool = False,
    sure: str = "",
) -> JournalEntry:
    """Note work done, its minutes and the part it took from the drawer.

    :raises Refused: a part fitted on hold, or the drawer holds fewer
    :raises Odd: when that part was taken for this machine today, until a second press says yes
    """
    with acts.once(act):
        if part is not None:
            refuse_work_on_hold(act, job, "fitting a part")
        movement = take_part(act, part, qty, job, sure) if part else None
        row = WorkDone.objects.create(
            job=job,
            station=station,
            what=what,
            minutes=minutes,
            movement=movement,
            as_usual=as_usual,
            by=act.by,
            at=act.at,
        )
        found.refresh(job)
        return acts.write(act, "add_work", f"{what}, {minutes} min", row, job=job)


def note_minutes(act: Act, rows: Iterable[tuple[Job, int, datetime]], *, what: str) -> None:
    """Note minutes worked before this book was kept, on many jobs at once, inside the caller's act."""
    WorkDone.objects.bulk_create(
        WorkDone(job=job, station=WorkStation.MEND, what=what, minutes=minutes, by=act.by, at=at)
        for job, minutes, at in rows
    )


def take_part(act: Act, part: Part, qty: int, job: Job, sure: str) -> Movement:
    """Take a part for a job inside the caller's act. :raises Odd: when it was taken for it today already."""
    today = Movement.objects.filter(part=part, job=job, at__date=act.day).aggregate(net=Sum("qty"))["net"] or 0
    about = f"another {part.pk}"
    if today < 0 and sure != about:
        words = f"{part} was taken for the same machine today. Was another one fitted? Press again to take it too."
        raise acts.Odd(words, about=about, field="part")
    return parts.take(act, part, qty, job)


def strike_work(act: Act, work: WorkDone) -> JournalEntry:
    """Take work back as a slip; its part goes back to the drawer."""
    with acts.once(act):
        if work.struck_at is not None:
            raise Refused("This was taken back already.")
        if work.movement is not None:
            parts.put_back(act, work.movement)
        work.struck_at, work.struck_by = act.at, act.by
        work.save(update_fields=["struck_at", "struck_by"])
        found.refresh(work.job)
        return acts.write(act, "strike_work", f"Took back: {work.what}", work, job=work.job)


def open_case(act: Act, job: Job, *, why: str) -> JournalEntry:
    """Note that the case is open: earlier electrical and leak readings do not count any more."""
    with acts.once(act):
        row = open_now(act, job, why=why)
        return acts.write(act, "open_case", f"Opened the case: {why}", row, job=job)


def open_now(act: Act, job: Job, *, why: str) -> CaseOpening:
    """Write that the case is open, inside the caller's act. :raises Refused: on hold, or when it is open already."""
    refuse_work_on_hold(act, job, "opening it")
    if CaseOpening.objects.open_now().filter(job=job).exists():
        raise Refused("The case is open already.")
    row = CaseOpening.objects.create(job=job, why=why, opened_at=act.at, opened_by=act.by)
    found.refresh(job)
    return row


def shut_case(act: Act, job: Job) -> JournalEntry:
    """Note that the case is shut. :raises Refused: when it was not open."""
    with acts.once(act):
        return acts.write(act, "shut_case", "Shut the case", shut_now(act, job), job=job)


def shut_now(act: Act, job: Job) -> CaseOpening:
    """Write that the case is shut, inside the caller's act. :raises Refused: when it was not open."""
    row = CaseOpening.objects.open_now().filter(job=job).first()
    if row is None:
        raise Refused("The case is shut already.")
    row.shut_at, row.shut_by = act.at, act.by
    row.save(update_fields=["shut_at", "shut_by"])
    return row


def reopen_case(act: Act, opening: CaseOpening) -> JournalEntry:
    """Take a shutting of the case back as a slip: it is open as before.

    :raises Refused: when something was read, or a shot pulled, since; or when it is open
    """
    with acts.once(act):
        if opening.shut_at is None or CaseOpening.objects.open_now().filter(job=opening.job).exists():
            raise Refused("The case is open already.")
        since = {"job": opening.job, "at__gt": opening.shut_at}
        if Reading.objects.filter(**since).exists() or Shot.objects.filter(**since).exists():
            raise Refused("Something was read since the case was shut. Open the case anew instead.")
        opening.shut_at = opening.shut_by = None
        opening.save(update_fields=["shut_at", "shut_by"])
        return acts.write(act, "reopen_case", "Took back: shut the case", opening, job=opening.job)


def unopen_case(act: Act, opening: CaseOpening) -> JournalEntry:
    """Take back that the case was opened: it never was, and readings from before count again."""
    with acts.once(act):
        opening.struck_at, opening.struck_by = act.at, act.by
        opening.save(update_fields=["struck_at", "struck_by"])
        found.refresh(opening.job)
        return acts.write(act, "unopen_case", "Took back: opened the case", opening, job=opening.job)


def done_since(opening: CaseOpening, but: Reading | None) -> bool:
    """Say whether anything but that reading was read, worked or pulled since the case was opened."""
    since = {"job": opening.job_id, "at__gte": opening.opened_at}
    readings = Reading.objects.filter(**since, struck=False, corrected_by__isnull=True)
    others = readings.exclude(pk=but.pk) if but else readings
    worked = WorkDone.objects.filter(**since, struck_at__isnull=True)
    return any(
        rows.exists()
        for rows in (others, worked, SealWork.objects.filter(STANDS, **since), Shot.objects.filter(**since))
    )


def not_needed(act: Act, job: Job, *, what: str, because: str) -> JournalEntry:
    """Answer a station with 'not needed, because', or take that answer back with an empty reason."""
    with acts.once(act):
        row = NotNeeded.objects.create(job=job, what=what, because=because, by=act.by, at=act.at)
        words = f"{what.capitalize()} not needed: {because}" if because else f"{what.capitalize()} is needed after all"
        return acts.write(act, "not_needed", words, row, job=job)
