"""Cleaning, descaling, rinsing and mending, as a person does them."""

from decimal import Decimal as D

from demo_fixtures.demo import Demo, sign
from demo_fixtures.steps_prove import make_safe
from intake import services as intake
from intake.words import FindingEnd
from workshop.bench import stations as bench_stations
from workshop.bench.services import clean, mend, work
from workshop.core.models import Instrument, Job
from workshop.parts.models import Part


def clean_all(demo: Demo, days_ago: float, job: Job, minutes: int) -> None:
    facts = bench_stations.CLEAN.facts([job.pk])[job.pk]
    clean.clean(demo.act(days_ago), job, lines=[(what.value, "") for what in facts.wanted])
    work.add_work(demo.act(days_ago), job, station="CLEAN", what="Cleaned throughout", minutes=minutes, part=None)


def descale(demo: Demo, days_ago: float, job: Job, runs: int = 1) -> None:
    notes = job.machine.notes
    make_safe(demo, days_ago, job)
    for run in range(1, runs + 1):
        clean.descale(
            demo.act(days_ago - run / 24),
            job,
            agent=notes.descale_agent,
            strength_percent=notes.descale_strength_percent,
            volume_l=notes.descale_litres,
            minutes=notes.descale_minutes or 30,
            as_usual=True,
        )


def rinse(demo: Demo, days_ago: float, job: Job) -> None:
    facts = bench_stations.CLEAN.facts([job.pk])[job.pk]
    wanted = {path.path.value: facts.wanted_l(path) for path in facts.paths}
    clean.rinse_all(demo.act(days_ago), job, wanted={path: litres for path, litres in wanted.items() if litres})
    facts = bench_stations.CLEAN.facts([job.pk])[job.pk]
    if facts.measured_check_wanted:
        clean.check_residual(
            demo.act(days_ago),
            job,
            agent=job.machine.notes.descale_agent,
            feed_alkalinity_mg_l=D("5"),
            feed_ph=D("6.6"),
            sample_ph=D("6.3"),
            resolution_ph=D("0.1"),
            instrument=Instrument.objects.get(kind="PH"),
        )
    clean.flush_for_lead(demo.act(days_ago), job, volume_l=D("1.5"), stood_hours=12)
    sign(demo, days_ago, job, "CLEAN")


def mend_all(demo: Demo, days_ago: float, job: Job, *, group: str, lock_in: str, minutes: int) -> None:
    for finding in job.findings.order_by("pk"):
        intake.end_finding(demo.act(days_ago), finding, FindingEnd.MENDED, "mended and tried")
    for seal in job.machine.notes.seals.filter(wears=True).order_by("pk"):
        if seal.is_group:
            mend.answer_seal(
                demo.act(days_ago), job, seal, end="CHANGED", part=Part.objects.get(name=group), lock_in_clock=lock_in
            )
        else:
            mend.answer_seal(demo.act(days_ago), job, seal, end="KEPT", why="soft, no crack, no drip")
    mend.leave_inside_seals(demo.act(days_ago), job)
    screen = Part.objects.get(name="Shower screen 58 mm")
    work.add_work(demo.act(days_ago), job, station="MEND", what="New shower screen", minutes=minutes, part=screen)
    sign(demo, days_ago, job, "MEND")
