"""The frame of every machine page: tag header, rail with its waits, side strip, next step in words."""

from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils import timezone

from handover import strip as handover_strip
from workshop.bench import stops as bench_stops
from workshop.core.models import Job, Wait
from workshop.core.stations import Standing, State, Station
from workshop.core.templatetags.measures import short_day
from workshop.core.words import ClosedAs
from workshop.desk import stations
from workshop.pricing import decide as deciding


@dataclass(frozen=True, slots=True)
class RailStep:
    """One station on the rail."""

    label: str
    state: str
    state_words: str
    url: str
    here: bool
    wait: dict[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Frame:
    """What stands around a machine's page."""

    head: dict[str, str]
    rail: list[RailStep]
    strip: dict[str, Any]
    next: dict[str, str] | None
    here: RailStep | None
    standings: list[Standing] = field(default_factory=list)
    asked: str = ""  # why it must be decided again whether to carry on


def frame(job: Job) -> Frame:
    """Return the frame of one job's pages."""
    standing = stations.standings([job.pk])[job.pk]
    waits = stations.waits([job.pk])[job.pk]
    steps = rail(job, standing, waits)
    proved = {job.pk: next(s.facts for s in standing if s.station.code == "PROVE")}
    strip = {"stops": _stops(job, proved), "reservation": handover_strip.reservation(job)}
    here = next((step for step in steps if step.here), None)
    asked = deciding.asks([job.pk], proved).get(job.pk, "")  # type: ignore[arg-type]  # Prove's own facts
    return Frame(_head(job), steps, strip, next_step(job, standing, asked), here, standing, asked)


def _stops(job: Job, proved: dict[int, Any]) -> list[dict[str, str]]:
    """Return what stops an open job, and the dangers a buyer wrote of, also after the job has ended."""
    written = handover_strip.stops(job)
    if job.closed_at is not None:
        return written
    stopped = bench_stops.stops([job.pk], timezone.localdate(), proved)[job.pk]
    return [*written, *(_stop(job, stop) for stop in stopped)]


def _head(job: Job) -> dict[str, str]:
    """Return the bench tag: a machine whose job has ended stands nowhere here, so it says how it ended."""
    machine = job.machine
    serial = f"Serial {machine.serial}" if machine.serial else "Serial cannot be read"
    if not machine.serial and not machine.serial_unreadable:
        serial = "No serial yet"
    return {
        "name": machine.name,
        "subtitle": f"{machine.notes.get_kind_display()}, {machine.notes}. {serial}",
        "stands": "Ended" if job.closed_at else "Stands at",
        "place": ClosedAs(job.closed_as).label.lower() if job.closed_as else str(machine.place or "not known"),
        "url": machine.get_absolute_url(),
    }


def rail(job: Job, standing: list[Standing], waits: list[Wait]) -> list[RailStep]:
    """Return the rail: 'here' is the first station that is not finished."""
    current = next((s for s in standing if not s.closed), None)
    return [_step(job, s, s is current and job.closed_at is None, waits) for s in standing]


def _step(job: Job, standing: Standing, here: bool, waits: list[Wait]) -> RailStep:
    station = standing.station
    wait = next((w for w in waits if w.station == station.code), None)
    words, state = standing.words, standing.state
    if state is State.BEGUN and standing.unmet and job.closed_at is None:
        words = f"{words}, {len(standing.unmet)} to do"
    if station == stations.STATIONS[-1] and job.closed_as == ClosedAs.SOLD_PROVED:  # handing over is its sign-off
        words, state = "finished", State.FINISHED
    return RailStep(
        label=station.label,
        state=state.value,
        state_words=words,
        url=reverse(station.page, args=[job.machine.slug]),
        here=here,
        wait=_wait(job, wait) if wait else None,
    )


def _wait(job: Job, wait: Wait) -> dict[str, str]:
    look = f" Look again {short_day(wait.look_again_on)}." if wait.look_again_on else ""
    who = f" {wait.who} moves it." if wait.who else ""
    return {
        "words": f"Waiting for {wait.what} since {short_day(wait.since_on)}.{who}{look}",
        "url": f"{job.machine.get_absolute_url()}#waits",
    }


def _stop(job: Job, stop: bench_stops.Stop) -> dict[str, str]:
    return {
        "words": stop.words,
        "link": reverse(stop.page, args=[job.machine.slug]),
        "link_words": stop.link_words,
    }


def next_step(job: Job, standing: list[Standing], asked: str = "") -> dict[str, str] | None:
    """Return the next step in words: the first unmet sentence of the first open station, or its sign-off.

    `asked`: why it must be decided again whether to carry on; that comes first.
    """
    if job.closed_at is not None:
        return None
    if asked:
        return {"words": asked, "url": _link(job, "pricing:decide", ""), "button": "Decide"}
    for s in standing:
        if s.closed:
            continue
        if s.unmet:
            first = s.unmet[0]
            return {
                "words": first.sentence,
                "url": _link(job, first.page, first.anchor),
                "button": f"Go to {_label(first.page, s.station)}",
            }
        return {
            "words": f"Sign off {s.station.label}: nothing is missing.",
            "url": _link(job, s.station.page, "sign-off"),
            "button": f"Go to {s.station.label}",
        }
    return None


def _label(page: str, missing: Station[Any]) -> str:
    """Return the station whose page something missing is put right on; the station that misses it for other pages."""
    return next((one.label for one in stations.STATIONS if one.page == page), missing.label)


def _link(job: Job, page: str, anchor: str) -> str:
    return reverse(page, args=[job.machine.slug]) + (f"#{anchor}" if anchor else "")


def days_since(then: date, today: date) -> str:
    """Say an age in days as people do."""
    days = (today - then).days
    return "today" if days <= 0 else "1 day" if days == 1 else f"{days} days"
