"""Writers of what came with a machine: loose parts, questions that "nothing" answers, recall look-ups."""

import re
from collections.abc import Collection
from datetime import date
from decimal import Decimal
from typing import Any

from intake.models import LoosePart, Nothing, RecallCheck
from intake.services.guard import open_job
from intake.words import NothingOf, RecallFound
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry

_COUNT = re.compile(r"(?P<count>[1-9]\d?)\s*[x×]?\s+(?P<words>\S.*)")


def usual_parts(lines: str) -> list[tuple[str, int]]:
    """Return what belongs with a model as (words, how many): "2 x basket" is two baskets, "Basket" one."""
    found = []
    for line in filter(None, map(str.strip, lines.splitlines())):
        match = _COUNT.fullmatch(line)
        words, count = (match["words"], int(match["count"])) if match else (line, 1)
        found.append((words[:1].upper() + words[1:80], count))
    return found


def loose_parts_as_usual(act: Act, job: Job) -> JournalEntry:
    """Count in everything that the model notes say belongs with it, but for what is counted already.

    :raises Refused: when the notes name nothing more
    """
    with acts.once(act):
        open_job(job)
        counted = {words.lower() for words in job.loose_parts.values_list("words", flat=True)}
        usual = [(w, n) for w, n in usual_parts(job.machine.notes.loose_parts) if w.lower() not in counted]
        if not usual:
            raise Refused("The model notes name no part that is not counted yet.")
        rows = [LoosePart(job=job, words=w, counted=n, by=act.by, at=act.at) for w, n in usual]
        LoosePart.objects.bulk_create(rows)
        _drop_nothing(job, NothingOf.LOOSE)
        what = "1 loose part" if len(rows) == 1 else f"{len(rows)} loose parts"
        return acts.write(
            act,
            "loose_parts_as_usual",
            f"Counted {what}, as usual",
            job,
            job=job,
            after={"parts": [f"{row.counted} x {row.words}" for row in rows]},
        )


def add_loose_part(
    act: Act, job: Job, words: str, counted: int, *, basket_mm: Decimal | None = None, walls: str = ""
) -> JournalEntry:
    """Count in one loose part; zero says that it should be there and is not. :raises Refused: counted already."""
    with acts.once(act):
        open_job(job)
        if job.loose_parts.filter(words__iexact=words).exists():
            raise Refused("This part is counted already. Change its count below.", field="words")
        size = {"basket_mm": basket_mm, "walls": walls}
        row = LoosePart.objects.create(job=job, words=words, counted=counted, **size, by=act.by, at=act.at)
        _drop_nothing(job, NothingOf.LOOSE)
        return acts.write(act, "add_loose_part", f"Counted {counted} x {words}", row, job=job)


def change_loose_part(act: Act, part: LoosePart, version: int, words: str, counted: int, **size: Any) -> JournalEntry:
    """Change a count or its words, and with `basket_mm` and `walls` what is known of a basket.

    :raises Stale: when somebody else changed it meanwhile
    """
    with acts.once(act):
        open_job(part.job)
        before, after = acts.change(part, version, {"words": words, "counted": counted, **size})
        return acts.write(
            act,
            "change_loose_part",
            f"Changed the count to {counted} x {words}",
            part,
            job=part.job,
            before=before,
            after=after,
        )


def answer_nothing(act: Act, job: Job, what: NothingOf) -> JournalEntry:
    """Answer a question with "nothing". :raises Refused: when there is something already."""
    with acts.once(act):
        open_job(job)
        something = {
            NothingOf.SAID: lambda: hasattr(job, "purchase") and bool(job.purchase.said),
            NothingOf.FOUND: lambda: job.findings.exists(),
            NothingOf.LOOSE: lambda: job.loose_parts.exists(),
        }
        if something[what]():
            raise Refused("There is an answer already. Change that one.")
        row, _ = Nothing.objects.get_or_create(job=job, what=what, defaults={"by": act.by, "at": act.at})
        return acts.write(act, "answer_nothing", what.label, row, job=job)


def record_recall_check(
    act: Act,
    job: Job,
    *,
    looked_on: date | None,
    registers: Collection[str],
    found: RecallFound,
    note: str,
) -> JournalEntry:
    """Keep one look into the recall registers. :raises Refused: a date in the future."""
    with acts.once(act):
        day = looked_on or act.day
        if day > act.day:
            raise Refused("This date is in the future. Type the day you looked.", field="looked_on")
        row = RecallCheck.objects.create(
            job=job,
            looked_on=day,
            registers="\n".join(registers),
            found=found,
            note=note,
            by=act.by,
            at=act.at,
        )
        return acts.write(act, "record_recall_check", f"Looked up recalls: {_short(found)}", row, job=job)


def _short(found: RecallFound) -> str:
    return found.label[:1].lower() + found.label[1:]


def _drop_nothing(job: Job, what: NothingOf) -> None:
    Nothing.objects.filter(job=job, what=what).delete()
