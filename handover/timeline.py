"""Contact about one machine in one time line: what buyers wrote, notes kept, reminders sent; newest first."""

from dataclasses import dataclass, field
from datetime import datetime, time

from django.urls import reverse
from django.utils import timezone

from handover import contacts, messages
from handover.models import BuyerAnswer, BuyerMessage, ContactNote
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


@dataclass(frozen=True, slots=True)
class Timeline:
    """The section of the Machine page and of Hand over."""

    lines: list[Line]
    add_url: str

    @property
    def waits(self) -> bool:
        """Say whether somebody waits for an answer."""
        return any(line.waits for line in self.lines)


def of(job: Job) -> Timeline:
    """Return the time line of a machine, over all its jobs: a constant number of queries."""
    wrote = [_message(job, row) for row in messages.of_machine(job.machine)]
    kept = [_note(row) for row in contacts.of_machine(job.machine)]
    lines = sorted([*wrote, *kept], key=lambda line: line.at, reverse=True)
    return Timeline(lines, reverse("handover:contact_add", args=[job.machine.slug]))


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
    return Line(row.at, *glyph, f"{row}, {row.since_words}", row.words, answered, who, not answered, links)


def _note(row: ContactNote) -> Line:
    at = timezone.make_aware(datetime.combine(row.happened_on, time(23, 59)))
    who = f"{short_day(row.happened_on)}, noted by {row.by}."
    glyph = "full" if row.answered else "half"
    return Line(min(at, row.at), glyph, "", str(row), row.asked, row.answered, who, note_pk=row.pk)
