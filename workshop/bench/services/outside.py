"""Writer of an outside tester's report: it stands for the electrical readings it covers."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from intake.came import came_on
from workshop.bench.facts.prove import ProveFacts, Standing
from workshop.bench.services import basis
from workshop.bench.services.prove import open_facts
from workshop.core import acts, services
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.services import Found, Outside
from workshop.core.templatetags.measures import day
from workshop.core.words import Outcome


@dataclass(frozen=True, slots=True)
class OutsideTyped:
    """What stands on the report, and which electrical items it covers, by their codes."""

    outside: Outside
    covers: Collection[str]


def outside_report(act: Act, job: Job, typed: OutsideTyped) -> JournalEntry:
    """Keep an outside tester's report; it lapses when the case is opened, as our own readings do.

    :raises Refused: the job has ended, the case is open or was shut after the test, nothing electrical is covered,
        the machine was not here yet, or the day has not come
    """
    with acts.once(act):
        facts = open_facts(job)
        covered = [s for s in facts.electrical() if s.item.code in typed.covers]
        if not covered:
            raise Refused("Say which readings the report covers.", field="covers")
        _refuse_day(act, job, facts, typed.outside)
        basis.begin(act, job, facts)
        found = [_found(standing, typed.outside) for standing in covered]
        return services.record_report(act, job, found, typed.outside)


def _refuse_day(act: Act, job: Job, facts: ProveFacts, outside: Outside) -> None:
    """What happened to a machine before it came, or before its case was last shut, nobody here can know."""
    if outside.measured_on > act.day:
        raise Refused("That day has not come yet.", field="measured_on")
    here_since = came_on(job)
    if outside.measured_on < here_since:
        raise Refused(
            f"The machine came here on {day(here_since)}. A report from before does not count.", field="measured_on"
        )
    if facts.case_open:
        raise Refused("The case is open: shut it first. A report from before does not count then.")
    if facts.opened is not None and facts.opened.shut_at is not None:
        _refuse_before(timezone.localtime(facts.opened.shut_at), outside)
    if (
        outside.measured_on == act.day
        and outside.measured_at
        and outside.measured_at > timezone.localtime(act.at).time()
    ):
        raise Refused("That time has not come yet.", field="measured_at")


def _refuse_before(shut_at: datetime, outside: Outside) -> None:
    """On the day of the shutting itself only the time of day tells which came first."""
    shut_on, clock_words = shut_at.date(), f"{shut_at:%H:%M}"
    if outside.measured_on < shut_on:
        raise Refused(
            f"The case was last shut on {day(shut_on)}. A report from before does not count.", field="measured_on"
        )
    if outside.measured_on > shut_on:
        return
    if outside.measured_at is None:
        raise Refused(f"The case was shut that day at {clock_words}. Say when it was measured.", field="measured_at")
    if outside.measured_at <= shut_at.time().replace(second=0, microsecond=0):
        raise Refused(f"The case was shut at {clock_words}. A report from before does not count.", field="measured_at")


def _found(standing: Standing, outside: Outside) -> Found:
    measure = standing.item.measure
    name = measure.label if measure else standing.item.title
    hot = ", hot" if standing.item.code == "insulation_hot" else ""
    return Found(
        card=standing.home,
        item=standing.item.code,
        title=f"{name}{hot}, outside report",
        outcome=Outcome.PASS if outside.passed else Outcome.FAIL,
        state="passed, outside report" if outside.passed else "failed, outside report",
        limit_words="as on the report",
    )
