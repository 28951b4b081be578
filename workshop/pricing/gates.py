"""What still stands in the way of ending a job, in sentences, before anything is typed."""

from collections.abc import Callable
from datetime import date

from intake import facts as intake_facts
from workshop.bench.models import CaseOpening
from workshop.core.models import Job
from workshop.core.templatetags.measures import day
from workshop.core.words import ClosedAs, JobKind
from workshop.pricing import balances

# Endings that change or sell the machine: the law's hold forbids them. Giving back and keeping alter nothing.
HELD = frozenset({ClosedAs.STRIPPED, ClosedAs.SCRAPPED, ClosedAs.SOLD_UNTESTED})
# Endings after which somebody may plug it in: its case must be shut.
USED_AFTER = frozenset({ClosedAs.SOLD_UNTESTED, ClosedAs.GIVEN_BACK, ClosedAs.KEPT})
# What the rooms above want before a machine leaves: each returns why not, or nothing. Hand over wants a buyer who
# wrote of a danger answered first.
BEFORE_IT_LEAVES: list[Callable[[Job], str]] = []


def before(job: Job, closed_as: ClosedAs, today: date) -> list[str]:
    """Return why a job cannot end like this yet; empty when the way is free."""
    if job.closed_at is not None:
        return ["This job has ended already."]
    reasons = []
    hold = intake_facts.hold([job.pk])[job.pk] if closed_as in HELD else None
    if hold is not None and hold.stands(today):
        reasons.append(f"On hold by law until {day(hold.until_on)}: {_HELD_WORDS[closed_as]} before.")
    sale = balances.standing([job.pk]).get(job.pk) if closed_as is not ClosedAs.SOLD_UNTESTED else None
    if sale is not None:
        reasons.append(f"It is agreed with {sale.buyer}: cancel the reservation first, at Hand over.")
    if closed_as in USED_AFTER and CaseOpening.objects.open_now().filter(job=job).exists():
        reasons.append("The case is open: shut it first, at Mend and reseal.")
    if closed_as is ClosedAs.GIVEN_BACK and not _somebody(job):
        reasons.append("Nobody is known to give it back to: say who sold it and for how much, on Intake.")
    if closed_as is ClosedAs.GIVEN_BACK and job.kind == JobKind.CAME_BACK and not job.cause:
        reasons.append("Nobody named the cause yet: say on Came back why it came back.")
    return reasons + [words for asks in BEFORE_IT_LEAVES if (words := asks(job))]


_HELD_WORDS = {
    ClosedAs.STRIPPED: "it must not be stripped",
    ClosedAs.SCRAPPED: "it must not be scrapped",
    ClosedAs.SOLD_UNTESTED: "no sale",
}


def _somebody(job: Job) -> bool:
    return job.kind == JobKind.CAME_BACK or intake_facts.purchases([job.pk])[job.pk] is not None
