"""Care due this week: sold machines with what falls due, the words prepared, and how far each reminder has come."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet

from handover import care_words, consents
from handover.care_words import Words
from handover.models import BuyerLink, CareDate, CareReminder, Consent, Sheet
from handover.sheet import SheetContent
from handover.words_after import ReminderState
from workshop.core.models import Job, Person, Shop
from workshop.core.templatetags.measures import short_day
from workshop.core.words import ClosedAs
from workshop.pricing.models import Sale

DAYS_AHEAD = 6  # today and six days more, and what fell due since Monday. House policy.
MAY_GO = (ReminderState.QUEUED, ReminderState.FAILED, ReminderState.DROPPED)  # none of these went out
OPEN = (ReminderState.QUEUED, ReminderState.SENDING, ReminderState.FAILED, ReminderState.UNKNOWN)


@dataclass(frozen=True, slots=True)
class Due:
    """All care of one machine that falls due on one day."""

    job: Job  # the sale
    due_on: date
    tasks: tuple[str, ...]
    words: Words
    buyer: Person | None
    consent: Consent | None
    reminder: CareReminder | None

    @property
    def can_mail(self) -> bool:
        """Say whether a reminder may go by e-mail: agreed, an address, and none has gone or may have gone."""
        agreed = self.consent is not None and self.buyer is not None and bool(self.buyer.email)
        return agreed and (self.reminder is None or self.reminder.state in MAY_GO)

    @property
    def done(self) -> bool:
        """Say whether nothing is left to do about it."""
        return self.reminder is not None and self.reminder.state not in OPEN

    @property
    def anchor(self) -> str:
        """Return its place on the page."""
        return f"{self.job.machine.slug}-{self.due_on:%Y-%m-%d}"


def with_buyers() -> "QuerySet[CareDate]":
    """Return the dates of machines that are with their buyers: not here just now, nor kept after coming back."""
    here = Job.objects.open().filter(machine=OuterRef("job__machine"))
    ours_again = Job.objects.filter(first_job=OuterRef("job"), closed_at__isnull=False)
    ours_again = ours_again.exclude(closed_as=ClosedAs.GIVEN_BACK)
    rows = CareDate.objects.filter(~Exists(here), ~Exists(ours_again))
    return rows.select_related("job__machine").order_by("due_on", "job_id", "pk")


def dates(today: date) -> "QuerySet[CareDate]":
    """Return what falls due from this Monday to six days ahead."""
    monday = today - timedelta(days=today.weekday())
    return with_buyers().filter(due_on__range=(monday, today + timedelta(days=DAYS_AHEAD)))


def this_week(today: date) -> list[Due]:
    """Return the list, by day: seven queries for any number of machines. What is done comes last."""
    return sorted(of_dates(dates(today)), key=lambda due: (due.done, due.due_on))


def of_dates(rows: "QuerySet[CareDate]") -> list[Due]:
    """Return the care of these dates, a line for each machine and day."""
    codes: dict[tuple[int, date], list[str]] = defaultdict(list)
    jobs: dict[int, Job] = {}
    for row in rows:
        codes[row.job_id, row.due_on].append(row.code)
        jobs[row.job_id] = row.job
    if not jobs:
        return []
    read = _Read(jobs)
    return [due for (job_id, day), found in codes.items() if (due := read.due(jobs[job_id], day, found))]


class _Read:
    """What the lines need of their machines, each kind read once."""

    def __init__(self, jobs: Collection[int]) -> None:
        self.shop = Shop.objects.get(pk=1)
        sheets = Sheet.objects.filter(Q(job_id__in=jobs) | Q(job__first_job_id__in=jobs)).select_related("job")
        self.sheets = {row.job.first_job_id or row.job_id: row for row in sheets.order_by("number")}
        links = BuyerLink.objects.filter(job_id__in=jobs, withdrawn_at__isnull=True)
        self.links = {row.job_id: row for row in links}
        sales = Sale.objects.filter(job_id__in=jobs, cancelled_at__isnull=True).select_related("buyer")
        self.buyers = {row.job_id: row.buyer for row in sales}
        self.consents = consents.of_people([buyer.pk for buyer in self.buyers.values()])
        reminders = CareReminder.objects.filter(job_id__in=jobs).select_related("queued_by")
        self.reminders = {(row.job_id, row.due_on): row for row in reminders}

    def due(self, job: Job, day: date, codes: list[str]) -> Due | None:
        """Return one line; None where its sheet cannot be read any more."""
        sheet = self.sheets.get(job.pk)
        content = SheetContent.readable(sheet.content) if sheet else None
        if content is None:
            return None
        buyer = self.buyers.get(job.pk)
        return Due(
            job=job,
            due_on=day,
            tasks=tuple(row.words for row in content.care if row.code in codes),
            words=care_words.of(content, codes, day, self.links.get(job.pk), self.shop),
            buyer=buyer,
            consent=self.consents.get(buyer.pk) if buyer else None,
            reminder=self.reminders.get((job.pk, day)),
        )


def one(job: Job, due_on: date) -> Due | None:
    """Return the care of one machine on one day; None where nothing falls due then, or it is not with its buyer."""
    return next(iter(of_dates(with_buyers().filter(job=job, due_on=due_on))), None)


def state_words(due: Due) -> str:
    """Say in a sentence how far the reminder has come, or what it waits for."""
    row = due.reminder
    if row is not None:
        words = f"{str(row).capitalize()}, {short_day(row.changed_at)}."
        return f"{words} {row.why}".strip()
    if due.consent is not None and due.buyer is not None and due.buyer.email:
        return f"They agreed to e-mail on {short_day(due.consent.given_on)}."
    return "No consent to e-mail is recorded: copy the words, or call."


def in_short(due: Due) -> str:
    """Say one line for a list: the tasks, and what is left to do."""
    return f"{'; '.join(due.tasks)}. {state_words(due)}"
