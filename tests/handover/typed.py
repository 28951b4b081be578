"""The words that people typed about a machine: these stand on its sheet as they were typed, in every language."""

import re
from collections.abc import Iterable
from typing import Any

from workshop.core.models import Job, Shop, User


def words_typed(job: Job) -> set[str]:
    """Return every word, in small letters, that somebody typed in the rows behind this job's sheet."""
    notes, machine = job.machine.notes, job.machine
    said = [
        *of([Shop.objects.get(pk=1)], "name", "address", "warranty_words"),
        *of([machine], "name", "serial"),
        *of([notes], "maker", "model", "ready_sign", "baskets"),
        *of(notes.controls.all(), "label", "place"),
        *of(notes.seals.all(), "name"),
        *of(User.objects.all(), "first_name", "username"),
        *of(job.recipes.all(), "coffee", "basket", "selector", "tamp_cue", "back_to_coffee"),
        *of(job.loose_parts.all(), "words"),
        *of(job.findings.all(), "words", "why_left"),
        *of(job.work.all(), "what"),
        *of(job.seal_work.all(), "why"),
        *of(job.received.all(), "lines"),
    ]
    return {word.lower() for word in re.findall(r"[^\W\d_]{3,}", " ".join(said))}


def of(rows: Iterable[Any], *fields: str) -> list[str]:
    """Return what stands in these fields; a field that a row does not have is a slip of the test."""
    return [str(getattr(row, field)) for row in rows for field in fields]
