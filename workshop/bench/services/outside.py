"""Writer of an outside tester's report: it stands for the electrical readings it covers."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

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
        or the day has not come
    """
    with acts.once(act):
        facts = open_facts(job)
        covered = [s for s in facts.electrical() if s.item.code in typed.covers]
        if not covered:
            raise Refused("Say which readings the report covers.", field="covers")
        _refuse_day(act, facts, typed.outside.measured_on)
        basis.begin(act, job, facts)
        found = [_found(standing, typed.outside) for standing in covered]
        return services.record_report(act, job, found, typed.outside)


def _refuse_day(act: Act, facts: ProveFacts, measured_on: date) -> None:
    if measured_on > act.day:
        raise Refused("That day has not come yet.", field="measured_on")
    if facts.case_open:
        raise Refused("The case is open: shut it first. A report from before does not count then.")
    shut_at = facts.opened.shut_at if facts.opened else None
    if shut_at is not None and measured_on < timezone.localtime(shut_at).date():
        shut = day(timezone.localtime(shut_at).date())
        raise Refused(f"The case was last shut on {shut}. A report from before does not count.", field="measured_on")


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
