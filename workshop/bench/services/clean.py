"""Writers of cleaning, descaling, rinsing and the flush after it."""

from collections.abc import Iterable
from decimal import Decimal

from intake.services.guard import refuse_work_on_hold
from workshop.bench.models import CleanLine, DescaleRun, LeadFlush, ResidualCheck, Rinse
from workshop.bench.services import prove
from workshop.bench.words import Cleaned, say_count
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Instrument, Job, JournalEntry
from workshop.trade.water import descaling, rinsing
from workshop.trade.water.descaling import Agent
from workshop.trade.water.sources import RINSE_TARGET_MG_L


def clean(act: Act, job: Job, *, lines: Iterable[tuple[str, str]]) -> JournalEntry:
    """Note what was cleaned, or left because: pairs of (what, because).

    :raises Refused: nothing to note, or cleaned on hold; what is left as it came changes nothing
    """
    with acts.once(act):
        rows = [CleanLine(job=job, what=what, because=because, by=act.by, at=act.at) for what, because in lines]
        if not rows:
            raise Refused("Nothing was ticked and no reason was given.")
        if not all(row.because for row in rows):
            refuse_work_on_hold(act, job, "cleaning it")
        for row in rows:
            row.save()
        words = ", ".join(Cleaned(row.what).label.lower() for row in rows if not row.because)
        return acts.write(
            act, "clean", f"Cleaned {words}" if words else "Left parts uncleaned, because", rows[0], job=job
        )


def descale(
    act: Act,
    job: Job,
    *,
    agent: str,
    strength_percent: Decimal,
    volume_l: Decimal,
    minutes: int,
    as_usual: bool = False,
) -> JournalEntry:
    """Log one fill of acid with its computed grams and capacity. :raises Refused: on hold, or out of reason."""
    with acts.once(act):
        refuse_work_on_hold(act, job, "descaling it")
        prove.refuse_unsafe(prove.open_facts(job))
        try:
            dose = descaling.dose(Agent(agent), strength_percent=strength_percent, volume_l=volume_l)
        except ValueError as wrong:
            raise Refused(str(wrong), field="strength_percent") from wrong
        row = DescaleRun.objects.create(
            job=job,
            agent=agent,
            strength_percent=strength_percent,
            volume_l=volume_l,
            minutes=minutes,
            acid_g=round(dose.acid_g, 2),
            capacity_g=round(dose.capacity_g, 2),
            as_usual=as_usual,
            by=act.by,
            at=act.at,
        )
        return acts.write(act, "descale", f"Descaled with {row}", row, job=job)


def rinse(act: Act, job: Job, *, path: str, volume_l: Decimal, needed_l: Decimal) -> JournalEntry:
    """Log litres run through one path, beside the litres that were computed."""
    with acts.once(act):
        row = Rinse.objects.create(job=job, path=path, volume_l=volume_l, needed_l=needed_l, by=act.by, at=act.at)
        return acts.write(act, "rinse", str(row), row, job=job)


def rinse_all(act: Act, job: Job, *, wanted: dict[str, Decimal]) -> JournalEntry:
    """Log the computed litres through each path that still wants them. :raises Refused: when none does."""
    with acts.once(act):
        if not wanted:
            raise Refused("Every path has had its litres, or no fill of acid was logged yet.")
        rows = [Rinse(job=job, path=p, volume_l=v, needed_l=v, by=act.by, at=act.at) for p, v in wanted.items()]
        for row in rows:
            row.save()
        return acts.write(
            act, "rinse_all", f"Rinsed {say_count(len(rows), 'path')} with the computed litres", rows[0], job=job
        )


def check_residual(
    act: Act,
    job: Job,
    *,
    agent: str,
    feed_alkalinity_mg_l: Decimal,
    feed_ph: Decimal,
    sample_ph: Decimal,
    resolution_ph: Decimal,
    instrument: Instrument | None,
) -> JournalEntry:
    """Work out the acid left from the pH of the last rinse and keep it. :raises Refused: for pH out of reason."""
    with acts.once(act):
        water = {"feed_alkalinity_mg_l": feed_alkalinity_mg_l, "feed_ph": feed_ph}
        try:
            left = rinsing.residual_mg_l(Agent(agent), sample_ph=sample_ph, **water)
            detects = rinsing.detection_limit_mg_l(Agent(agent), meter_resolution_ph=resolution_ph, **water)
        except ValueError as wrong:
            raise Refused(str(wrong), field="sample_ph") from wrong
        limit = RINSE_TARGET_MG_L.value
        row = ResidualCheck.objects.create(
            job=job,
            agent=agent,
            sample_ph=sample_ph,
            residual_mg_l=round(left, 2),
            detects_mg_l=round(detects, 2),
            limit_mg_l=limit,
            passed=max(left, detects) <= limit,
            instrument=instrument,
            by=act.by,
            at=act.at,
            **water,
        )
        return acts.write(act, "check_residual", str(row), row, job=job, after={"passed": row.passed})


def flush_for_lead(act: Act, job: Job, *, volume_l: Decimal, stood_hours: int) -> JournalEntry:
    """Log the flush after descaling."""
    with acts.once(act):
        row = LeadFlush.objects.create(job=job, volume_l=volume_l, stood_hours=stood_hours, by=act.by, at=act.at)
        return acts.write(act, "flush_for_lead", str(row), row, job=job)


def strike(act: Act, *rows: DescaleRun | Rinse) -> JournalEntry:
    """Take a run, or the rinses of one act, back as a slip. :raises Refused: when they were taken back before."""
    with acts.once(act):
        standing = [row for row in rows if row.struck_at is None]
        if not standing:
            raise Refused("This was taken back already.")
        for row in standing:
            row.struck_at, row.struck_by = act.at, act.by
            row.save(update_fields=["struck_at", "struck_by"])
        words = "; ".join(str(row) for row in standing)
        return acts.write(act, "strike_run", f"Took back: {words}", standing[0], job=standing[0].job)
