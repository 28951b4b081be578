"""Contact about one machine in one time line: what buyers wrote, notes kept, reminders sent; newest first."""

from dataclasses import dataclass, field
from datetime import datetime, time

from django.urls import reverse
from django.utils import timezone

from handover import consents, contacts, messages
from handover.models import BuyerAnswer, BuyerMessage, CareReminder, ContactNote
from handover.words_after import ReminderState
from workshop.core.models import Job
from workshop.core.templatetags.measures import short_day


@dataclass(frozen=True, slots=True)
class Line:
    """One line: what it was, the words of both sides, when and who; where to go on from it."""

    at: datetime
    glyph: str
    glyph_words: str
    what: str
    asked: str = ""
    answered: str = ""
    who: str = ""
    waits: bool = False
    links: list[tuple[str, str]] = field(default_factory=list)  # address, words
    note_pk: int | None = None  # a note that can be taken back
    answer_url: str = ""  # makes what was asked and answered an answer on the buyer's page; for the owner


@dataclass(frozen=True, slots=True)
class Timeline:
    """The section of the Machine page and of Hand over."""

    lines: list[Line]
    add_url: str
    mail_words: str = ""  # whether the buyer agreed to reminders; empty without a buyer
    mail_url: str = ""

    @property
    def waits(self) -> bool:
        """Say whether somebody waits for an answer."""
        return any(line.waits for line in self.lines)


def of(job: Job) -> Timeline:
    """Return the time line of a machine, over all its jobs: a constant number of queries."""
    wrote = [_message(job, row) for row in messages.of_machine(job.machine)]
    kept = [_note(row) for row in contacts.of_machine(job.machine)]
    sent = CareReminder.objects.filter(job__machine=job.machine).order_by("due_on")
    lines = sorted([*wrote, *kept, *map(_reminder, sent)], key=lambda line: line.at, reverse=True)
    add_url = reverse("handover:contact_add", args=[job.machine.slug])
    return Timeline(lines, add_url, *_mail(job))


def _mail(job: Job) -> tuple[str, str]:
    """Return whether the buyer agreed to reminders by e-mail, and where that is recorded."""
    buyer = contacts.buyer_of(job)
    if buyer is None:
        return "", ""
    row = consents.of_people([buyer.pk]).get(buyer.pk)
    words = f"Agreed on {short_day(row.given_on)}." if row else "Not agreed to."
    return words, reverse("handover:consent_record", args=[job.machine.slug])


def _reminder(row: CareReminder) -> Line:
    state = f"{str(row).capitalize()}, {short_day(row.changed_at)}."
    went = row.state in (ReminderState.SENT, ReminderState.TOLD)
    what = f"Care reminder for {short_day(row.due_on)}"
    return Line(row.changed_at, "full" if went else "half", "", what, who=f"{state} {row.why}".strip())


def _message(job: Job, row: BuyerMessage) -> Line:
    newest: BuyerAnswer | None = max(row.answers.all(), key=lambda answer: answer.pk, default=None)
    answered = newest.words if newest else ""
    name = job.machine.slug
    links = [(reverse("handover:contact_about", args=[name, row.pk]), "Keep a note")]
    if not answered:
        links.insert(0, (reverse("handover:handover", args=[name]) + "#buyer-wrote", "Answer"))
    glyph = ("full", "") if answered else ("warning", "Danger:") if row.is_danger else ("half", "")
    who = f"The buyer wrote, {short_day(row.at)}."
    if newest and answered:
        who = f"{who} {newest.by} answered, {short_day(newest.at)}."
    make = _make("message", row.pk) if answered and answered != contacts.IN_A_NOTE else ""  # else the note has it
    what = f"{row}, {row.since_words}"
    return Line(row.at, *glyph, what, row.words, answered, who, not answered, links, answer_url=make)


def _note(row: ContactNote) -> Line:
    at = timezone.make_aware(datetime.combine(row.happened_on, time(23, 59)))
    who = f"{short_day(row.happened_on)}, noted by {row.by}."
    glyph = "full" if row.answered else "half"
    make = _make("note", row.pk) if row.answered else ""
    what, when = str(row), min(at, row.at)
    return Line(when, glyph, "", what, row.asked, row.answered, who, note_pk=row.pk, answer_url=make)


def _make(what: str, pk: int) -> str:
    return f"{reverse('handover:answer_add')}?{what}={pk}"
