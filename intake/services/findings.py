"""Writers of findings: what does not work as found, and how it ended."""

from django.db.models import F

from intake import found
from intake.models import Finding, Nothing
from intake.services.guard import open_job, refuse_work_on_hold
from intake.words import FindingEnd, NothingOf
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.words import FoundIn


def add_finding(act: Act, job: Job, words: str) -> JournalEntry:
    """Note something that does not work as found. :raises Refused: when the same words stand open already."""
    with acts.once(act):
        open_job(job)
        if job.findings.filter(words__iexact=words, end=FindingEnd.OPEN).exists():
            raise Refused("This is noted already.", field="words")
        row = Finding.objects.create(job=job, words=words, by=act.by, at=act.at)
        Nothing.objects.filter(job=job, what=NothingOf.FOUND).delete()
        found.refresh(job, FoundIn.FINDING)
        return acts.write(act, "add_finding", f"Found: {words}", row, job=job)


def change_finding(act: Act, finding: Finding, version: int, words: str) -> JournalEntry:
    """Change the words of a finding. :raises Stale: when somebody else changed it meanwhile."""
    with acts.once(act):
        before, after = acts.change(finding, version, {"words": words})
        found.refresh(finding.job, FoundIn.FINDING)
        return acts.write(
            act,
            "change_finding",
            f"Changed a finding: {words}",
            finding,
            job=finding.job,
            before=before,
            after=after,
        )


def end_finding(act: Act, finding: Finding, end: FindingEnd, words: str) -> JournalEntry:
    """End a finding as mended, not seen again, or left; `words` say how, and why it was left.

    :raises Refused: when it has an end already, when `end` is none, left without a reason, or mended on hold
    """
    with acts.once(act):
        end = FindingEnd(end)
        if end is FindingEnd.OPEN:
            raise Refused("Say how it ended: mended, not seen again, or left as it is.", field="end")
        if end is FindingEnd.LEFT and not words:
            raise Refused("Say why it is left: the buyer is told.", field="words")
        if end is FindingEnd.MENDED:
            refuse_work_on_hold(act, finding.job, "mending it")
        changed = Finding.objects.filter(pk=finding.pk, end=FindingEnd.OPEN).update(
            end=end, end_words=words, ended_at=act.at, ended_by=act.by, version=F("version") + 1
        )
        if not changed:
            raise Refused("This finding has ended already.")
        finding.refresh_from_db()
        found.refresh(finding.job, FoundIn.FINDING)
        sentence = f"{end.label}: {finding.words}"
        return acts.write(act, "end_finding", sentence, finding, job=finding.job, after={"end": end, "words": words})


def left_as_new(act: Act, job: Job, words: str, why: str) -> Finding:
    """Write something found late and left as it is, inside the caller's act: it is told and printed like any other."""
    left = {"end": FindingEnd.LEFT, "end_words": why, "ended_at": act.at, "ended_by": act.by}
    row = Finding.objects.create(job=job, words=words[:200], by=act.by, at=act.at, **left)
    found.refresh(job, FoundIn.FINDING)
    return row


def reopen_finding(act: Act, finding: Finding) -> JournalEntry:
    """Open a finding again. :raises Refused: when it is open."""
    with acts.once(act):
        before = {"end": finding.end, "words": finding.end_words}
        changed = Finding.objects.filter(pk=finding.pk).exclude(end=FindingEnd.OPEN)
        if not changed.update(
            end=FindingEnd.OPEN, end_words="", ended_at=None, ended_by=None, version=F("version") + 1
        ):
            raise Refused("This finding is open already.")
        finding.refresh_from_db()
        found.refresh(finding.job, FoundIn.FINDING)
        sentence = f"Open again: {finding.words}"
        return acts.write(act, "reopen_finding", sentence, finding, job=finding.job, before=before)
