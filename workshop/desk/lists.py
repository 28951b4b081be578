"""Rows of the pages over many machines."""

from dataclasses import dataclass
from datetime import date

from handover import strip as handover_strip
from intake import facts as intake_facts
from workshop.bench import pauses
from workshop.core.models import Job
from workshop.core.templatetags.measures import day, money
from workshop.desk import frame, stations
from workshop.pricing import asking, owed


@dataclass(frozen=True, slots=True)
class Line:
    """One machine in a list."""

    name: str
    url: str
    words: str
    when: str
    rail: list[frame.RailStep]
    stop: str = ""
    paused: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """The machines that stand at one station."""

    label: str
    lines: list[Line]


def by_station(today: date) -> list[Group]:
    """Return every open machine under the first station it has not finished; one kept apart or on hold says so."""
    jobs = {job.pk: job for job in Job.objects.open().for_page().order_by("opened_at", "pk")}
    standings, waits = stations.standings(list(jobs)), stations.waits(list(jobs))
    apart, kept = _apart(list(jobs), today), pauses.standing(list(jobs))
    groups: dict[str, list[Line]] = {station.label: [] for station in stations.STATIONS}
    for pk, job in jobs.items():
        here = next((s for s in standings[pk] if not s.closed), standings[pk][-1])
        step = frame.next_step(job, standings[pk])
        words = step["words"] if step else "Nothing left to do."
        url = step["url"] if step else job.machine.get_absolute_url()
        place = str(job.machine.place or "")
        paused = f"{pauses.words(kept[pk], today)}." if pk in kept else ""
        rail = frame.rail(job, standings[pk], waits[pk])
        line = Line(job.machine.name, url, words, place, rail, apart.get(pk, ""), paused)
        groups[here.station.label].append(line)
    return [Group(label, lines) for label, lines in groups.items() if lines]


def _apart(job_ids: list[int], today: date) -> dict[int, str]:
    """Return why a machine must be kept apart or left alone, for those that must. Two queries."""
    bags, holds = intake_facts.bags(job_ids), intake_facts.hold(job_ids)
    found = {
        pk: f"On hold by law until {day(held.until_on)}." for pk, held in holds.items() if held and held.stands(today)
    }
    return found | {pk: f"In its bag: {bag.why}." for pk, bag in bags.items() if bag}


def for_sale(today: date) -> list[Line]:
    """Return machines whose Prove and Price are finished and that nobody has reserved, oldest first."""
    jobs = {job.pk: job for job in Job.objects.open().for_page().order_by("opened_at", "pk")}
    standings, waits = stations.standings(list(jobs)), stations.waits(list(jobs))
    reserved, prices = handover_strip.reserved(list(jobs)), asking.prices(list(jobs))
    lines = []
    for pk, job in jobs.items():
        done = {s.station.code for s in standings[pk] if s.closed}
        if {"PROVE", "PRICE"} <= done and pk not in reserved:
            words = f"{job.machine.notes}. Asking {money(prices.get(pk), owed.shop())}."
            age = frame.days_since(job.opened_at.date(), today)
            rail = frame.rail(job, standings[pk], waits[pk])
            lines.append(Line(job.machine.name, job.machine.get_absolute_url(), words, f"here {age}", rail))
    return lines
