"""Mend and reseal: what it rests on, and what is missing in sentences."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, field

from intake import facts as intake_facts
from intake.models import Finding
from intake.words import FindingEnd
from workshop.bench.models import SealWork, WorkDone
from workshop.bench.models.corrections import STANDS
from workshop.core.models import Job, SealPosition
from workshop.core.reads import once_a_page
from workshop.core.stations import Facts, Unmet

PAGE = "bench:mend"


@dataclass(frozen=True, slots=True, kw_only=True)
class MendFacts(Facts):
    """Findings with their ends, and the answer of each seal."""

    findings: list[Finding] = field(default_factory=list)
    seals: list[SealPosition] = field(default_factory=list)
    answers: dict[int, SealWork] = field(default_factory=dict)


@once_a_page
def facts(job_ids: Collection[int]) -> dict[int, MendFacts]:
    """Return the facts of each job: a constant number of queries."""
    jobs = Job.objects.filter(pk__in=job_ids).select_related("machine")
    findings = intake_facts.findings(job_ids)
    answers: dict[int, dict[int, SealWork]] = defaultdict(dict)
    for row in SealWork.objects.filter(STANDS, job_id__in=job_ids).select_related("position", "by").order_by("pk"):
        answers[row.job_id][row.position_id] = row
    notes_ids = {job.machine.notes_id for job in jobs}
    seals: dict[int, list[SealPosition]] = defaultdict(list)
    for seal in SealPosition.objects.filter(notes_id__in=notes_ids).order_by("-wears", "pk"):
        seals[seal.notes_id].append(seal)
    worked = set(WorkDone.objects.filter(job_id__in=job_ids, station="MEND").values_list("job_id", flat=True))
    return {
        job.pk: MendFacts(
            begun=job.pk in worked or bool(answers[job.pk]) or any(f.end != FindingEnd.OPEN for f in findings[job.pk]),
            asserted={
                **{f"finding_{f.pk}": f.end for f in findings[job.pk]},  # a later one does not take the word back
                "seals": sorted(row.pk for row in answers[job.pk].values()),
            },
            findings=findings[job.pk],
            seals=seals[job.machine.notes_id],
            answers=answers[job.pk],
        )
        for job in jobs
    }


def unmet(facts: MendFacts) -> list[Unmet]:
    """Return what is missing before Mend and reseal is finished."""
    missing = [
        Unmet(f"finding_{f.pk}", f"“{f.words}” has no end: mended, not seen again, or left?", PAGE, "findings")
        for f in facts.findings
        if f.end == FindingEnd.OPEN
    ]
    missing += [
        Unmet(f"seal_{seal.pk}", f"{seal.name} has no answer: changed or kept?", PAGE, "seals")
        for seal in facts.seals
        if seal.wears and seal.pk not in facts.answers
    ]
    inside = [seal for seal in facts.seals if not seal.wears and seal.pk not in facts.answers]
    if inside:
        words = "Say that the inside seals were not disturbed, or changed."
        missing.append(Unmet("inside_seals", words, PAGE, "inside"))
    return missing
