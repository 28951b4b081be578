"""Writers of the as-found card: answers, what was seen at the seller's, the bag a machine is kept apart in."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import F, ProtectedError

from intake import found
from intake.models import AsFound, Bag, Finding, Nothing, SeenRunning
from intake.services.guard import open_job
from intake.words import AsFoundAnswer, AsFoundItem, FindingEnd, NothingOf
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.words import FoundIn


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer: the item, what was pressed, the button's words as they stood, and a few words typed."""

    item: AsFoundItem
    answer: AsFoundAnswer
    said: str
    words: str = ""

    def __str__(self) -> str:
        return f"{self.said}: {self.words}" if self.words else self.said


def answer_as_found(act: Act, job: Job, given: Answered) -> JournalEntry:
    """Keep one answer. What does not work becomes a finding; vermin or mould puts the machine in a bag.

    Whether the item may be tried at all (mains before safe to power) is asked by the bench, which knows.

    :raises Refused: when a fault is taken back whose finding has ended, or another open finding says the same
    """
    with acts.once(act):
        open_job(job)
        before = AsFound.objects.filter(job=job, item=given.item, corrected_by__isnull=True).first()
        row = AsFound.objects.create(
            job=job,
            item=given.item,
            answer=given.answer,
            said=given.said,
            words=given.words,
            by=act.by,
            at=act.at,
            corrects=before,
        )
        if given.answer == AsFoundAnswer.FAULT:
            _note(act, row, before)
        elif before is not None:
            _take_fault_back(before)
        after = {"answer": given.answer, "words": given.words}
        return acts.write(act, "answer_as_found", f"As found: {_low(str(given))}", row, job=job, after=after)


def strike_as_found(act: Act, row: AsFound) -> JournalEntry:
    """Take an answer back as a slip: a new row names it, its finding and its bag go.

    :raises Refused: when it was answered again since, or its finding has ended
    """
    with acts.once(act):
        open_job(row.job)
        if row.struck or AsFound.objects.filter(corrects=row).exists():
            raise Refused("This answer was changed or taken back already.")
        _take_fault_back(row)
        same = ("job_id", "item", "answer", "said", "words")
        copied = {name: getattr(row, name) for name in same}
        gone = AsFound.objects.create(**copied, by=act.by, at=act.at, corrects=row, struck=True)
        found.refresh(row.job, FoundIn.FINDING)
        return acts.write(act, "strike_as_found", f"Took back, as found: {_low(str(row))}", gone, job=row.job)


def _note(act: Act, row: AsFound, before: AsFound | None) -> None:
    """Open the finding of a fault, or put its words right where the same fault was answered before."""
    words = str(row)[:1].upper() + str(row)[1:]
    finding = _finding(before)
    same = Finding.objects.filter(job=row.job, words__iexact=words, end=FindingEnd.OPEN)
    if same.exclude(pk=finding.pk if finding else 0).exists():
        raise Refused("A finding says this already. Add a word that tells the two apart.", field="words")
    if finding is not None and finding.end == FindingEnd.OPEN:
        Finding.objects.filter(pk=finding.pk).update(words=words, answer=row, version=F("version") + 1)
    else:
        Finding.objects.create(job=row.job, words=words, answer=row, by=act.by, at=act.at)
    found.refresh(row.job, FoundIn.FINDING)
    Nothing.objects.filter(job=row.job, what=NothingOf.FOUND).delete()
    if row.item == AsFoundItem.VERMIN and not Bag.objects.filter(job=row.job, cleared_at__isnull=True).exists():
        Bag.objects.create(job=row.job, why=words, bagged_at=act.at, bagged_by=act.by)


def _finding(row: AsFound | None) -> Finding | None:
    return Finding.objects.filter(answer=row).first() if row is not None else None


def _take_fault_back(row: AsFound) -> None:
    """Drop the open finding of an answer that was a slip, and the bag. :raises Refused: when work rests on it."""
    finding = _finding(row)
    if finding is not None and finding.end != FindingEnd.OPEN:
        ended = finding.get_end_display().lower()
        raise Refused(f"“{finding.words}” was found and has an end: {ended}. Open that finding again first.")
    if finding is not None:
        try:
            finding.delete()
        except ProtectedError:
            raise Refused(f"Other records rest on “{finding.words}”. End that finding instead.") from None
    if row.item == AsFoundItem.VERMIN:
        Bag.objects.filter(job=row.job, cleared_at__isnull=True).delete()


def note_seen_running(act: Act, job: Job, seen: Mapping[AsFoundItem, str], *, seen_on: date) -> JournalEntry:
    """Note what a person saw it do at the seller's: item and its words. It is no reading and closes nothing.

    :raises Refused: nothing was seen, or the day has not come yet
    """
    with acts.once(act):
        open_job(job)
        if not seen:
            raise Refused("Say what you saw it do.", field="items")
        if seen_on > act.day:
            raise Refused("This date is in the future. Type the day you saw it run.", field="seen_on")
        said = ", ".join(seen.values())[:240]
        row = SeenRunning.objects.create(
            job=job, items=[item.value for item in seen], said=said, seen_on=seen_on, by=act.by, at=act.at
        )
        return acts.write(act, "note_seen_running", f"Seen running at the seller's: {said}", row, job=job)


def strike_seen_running(act: Act, row: SeenRunning) -> JournalEntry:
    """Take back what was seen at the seller's: a new row names it. :raises Refused: if done before."""
    with acts.once(act):
        open_job(row.job)
        if row.struck or SeenRunning.objects.filter(corrects=row).exists():
            raise Refused("This was taken back already.")
        copied = {name: getattr(row, name) for name in ("job_id", "items", "said", "seen_on")}
        gone = SeenRunning.objects.create(**copied, by=act.by, at=act.at, corrects=row, struck=True)
        sentence = f"Took back, seen running at the seller's: {row.said}"
        return acts.write(act, "strike_seen_running", sentence, gone, job=row.job)


def clear_bag(act: Act, job: Job, words: str) -> JournalEntry:
    """Say that the machine is clean and may leave its bag; `words` say what was done.

    :raises Refused: when it is in no bag
    """
    with acts.once(act):
        open_job(job)
        bag = Bag.objects.filter(job=job, cleared_at__isnull=True).first()
        if bag is None:
            raise Refused("It is in no bag: somebody cleared it already.")
        Bag.objects.filter(pk=bag.pk).update(cleared_at=act.at, cleared_by=act.by, cleared_words=words)
        return acts.write(act, "clear_bag", f"Out of the bag: {words}", bag, job=job, after={"words": words})


def bag_again(act: Act, bag: Bag) -> JournalEntry:
    """Put the machine back into its bag: it was not clean. :raises Refused: when it is in a bag."""
    with acts.once(act):
        open_job(bag.job)
        if Bag.objects.filter(job=bag.job, cleared_at__isnull=True).exists():
            raise Refused("It is in a bag already.")
        Bag.objects.filter(pk=bag.pk).update(cleared_at=None, cleared_by=None, cleared_words="")
        return acts.write(act, "bag_again", f"Back into the bag: {bag.why}", bag, job=bag.job)


def _low(words: str) -> str:
    return words[:1].lower() + words[1:]
