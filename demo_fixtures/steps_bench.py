"""What every machine goes through at the bench: cleaned, descaled, mended, proved, dialled in."""

from collections.abc import Iterable
from decimal import Decimal as D
from typing import Any

from demo_fixtures.demo import Demo, sign
from intake import services as intake
from intake.words import FindingEnd
from workshop.bench import stations as bench_stations
from workshop.bench.services import clean, mend, prove, shots, work
from workshop.bench.services.prove import Typed
from workshop.bench.services.shots import Pulled
from workshop.core.models import Instrument, Job
from workshop.parts.models import Part


def clean_all(demo: Demo, days_ago: float, job: Job, minutes: int) -> None:
    """Clean all that this machine wants cleaned."""
    facts = bench_stations.CLEAN.facts([job.pk])[job.pk]
    clean.clean(demo.act(days_ago), job, lines=[(what.value, "") for what in facts.wanted])
    work.add_work(demo.act(days_ago), job, station="CLEAN", what="Cleaned throughout", minutes=minutes, part=None)


def descale(demo: Demo, days_ago: float, job: Job, runs: int = 1) -> None:
    """Descale as usual, after what must be read before mains."""
    notes = job.machine.notes
    make_safe(demo, days_ago, job)
    for _ in range(runs):
        clean.descale(
            demo.act(days_ago),
            job,
            agent=notes.descale_agent,
            strength_percent=notes.descale_strength_percent,
            volume_l=notes.descale_litres,
            minutes=notes.descale_minutes or 30,
            as_usual=True,
        )


def rinse(demo: Demo, days_ago: float, job: Job) -> None:
    """Rinse every path, check the residue where it is asked, flush for lead, sign Clean off."""
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
    """Mend every finding, answer every seal that wears, sign Mend off."""
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


_VALUES: dict[str, tuple[str, str]] = {
    "earth": ("0.09", ""),
    "insulation": ("99.9", ">"),
    "pressure": ("9.1", ""),
    "debit": ("84", ""),
    "ready": ("14", ""),
    "steam_ready": ("38", ""),
    "back_to_coffee": ("6", ""),
}


def read_all(demo: Demo, days_ago: float, job: Job) -> None:
    """Read every item still open on the cards of this machine, card by card, with plausible values of its own."""
    for card in bench_stations.PROVE.facts([job.pk])[job.pk].every_card:
        _read_card(demo, days_ago, job, card.code)


def make_safe(demo: Demo, days_ago: float, job: Job) -> None:
    """Read what stands before the first act that needs mains."""
    _read_card(demo, days_ago, job, "safe-to-power")


def _read_card(demo: Demo, days_ago: float, job: Job, code: str) -> None:
    from workshop.bench.facts.prove import ItemState

    facts = bench_stations.PROVE.facts([job.pk])[job.pk]
    for standing in facts.states.values():
        if standing.card == code and standing.state in (ItemState.OPEN, ItemState.WITHDRAWN):
            prove.read(demo.act(days_ago), job, standing.item.code, _typed(job, standing.item))


def _typed(job: Job, item: Any) -> Typed:
    if item.seen:
        return Typed(answer="good")
    if item.code == "brew_water":
        return Typed(value=D("91.5"), value_to=D("93"))
    if item.code == "watts_heating":
        return Typed(value=D(job.machine.watts or 1000) * D("0.99"))
    value, sign = _VALUES[item.code]
    instrument = Instrument.objects.filter(kind=item.instrument).first() if item.instrument else None
    warm = job.machine.notes.warm_up_low_min
    shown = D(warm) if item.code == "ready" and warm else D(value)
    return Typed(value=shown, sign=sign, instrument=instrument, test_volts=500 if item.code == "insulation" else None)


def pull(demo: Demo, days_ago: float, job: Job, rows: Iterable[tuple[str, str, str, str, str]]) -> None:
    """Pull shots: rows of (setting, dose, yield, seconds, why spoilt or nothing)."""
    for at, (setting, dose_g, yield_g, time_s, why) in enumerate(rows):
        pulled = Pulled(
            setting=setting,
            dose_g=D(dose_g),
            yield_g=D(yield_g),
            time_s=D(time_s),
            new_coffee="house beans",
            roast_words="medium",
            roasted_on=demo.day(21),
            basket="Double",
            spoilt=bool(why),
            why_spoilt=why,
        )
        shots.add_shot(demo.act(days_ago - at * 0.004), job, pulled)


def set_recipe(demo: Demo, days_ago: float, job: Job, **words: Any) -> None:
    """Set the recipe on the last two shots; `words` are columns of its own."""
    notes = job.machine.notes
    shots.set_recipe(
        demo.act(days_ago),
        job,
        {
            "basket": "Double",
            "dose_tolerance_g": D("0.3"),
            "portions": 1,
            "tamp_cue": notes.tamp_cue,
            "lock_in": "half past 6",
            "timed_from": "pump on",
            "gauge_zone": "10 to 2 o'clock" if notes.has_gauge else "",
            "ready_low_min": notes.warm_up_low_min,
            "ready_high_min": notes.warm_up_high_min,
            "blank_shots": notes.blank_shots,
            "steam_ready_s": D("38"),
            "back_to_coffee_s": D("6"),
            "back_to_coffee": notes.back_to_coffee,
            **words,
        },
        ready_measured=True,
    )
