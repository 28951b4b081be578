"""Prepared rows of Mend and reseal: findings, seals, ring candidates, work."""

from dataclasses import dataclass
from decimal import Decimal

from intake.words import FindingEnd
from workshop.bench.facts.mend import MendFacts
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import SealWork, WorkDone
from workshop.bench.words import SealEnd
from workshop.core.models import Job, SealPosition
from workshop.core.templatetags.measures import measure, short_day
from workshop.trade.seals import matching
from workshop.trade.seals.matching import Match

RINGS_SHOWN = 8  # more candidates than this mean: measure again. House policy.


@dataclass(frozen=True, slots=True)
class SealRow:
    """One seal with its answer."""

    position: SealPosition
    glyph: str
    words: str
    by: str
    answered: bool


def seal_rows(facts: MendFacts) -> list[SealRow]:
    """Return wear seals first, each with its newest answer."""
    rows = []
    for seal in facts.seals:
        answer = facts.answers.get(seal.pk)
        if answer is None:
            rows.append(SealRow(seal, "open", "changed or kept?" if seal.wears else "no answer yet", "", False))
        else:
            glyph = "full" if answer.end == SealEnd.CHANGED else "na"
            rows.append(SealRow(seal, glyph, seal_words(answer), f"{answer.by}, {short_day(answer.at)}", True))
    return rows


def seal_words(answer: SealWork) -> str:
    """Say one seal's answer in words."""
    if answer.end != SealEnd.CHANGED:
        return f"{answer.get_end_display().lower()} {answer.why}".strip()
    size = ", ".join(part for part in (answer.size, answer.material) if part)
    where = f". Handle locks at {answer.lock_in_clock}" if answer.lock_in_clock else ""
    return f"changed{', ' + size if size else ''}{where}"


def finding_rows(facts: MendFacts) -> list[dict[str, object]]:
    """Return each finding with how it ended."""
    glyphs = {FindingEnd.OPEN: "open", FindingEnd.LEFT: "na"}
    return [
        {
            "finding": f,
            "glyph": glyphs.get(FindingEnd(f.end), "full"),
            "open": f.end == FindingEnd.OPEN,
            "words": "" if f.end == FindingEnd.OPEN else f"{f.get_end_display().lower()}. {f.end_words}".strip(),
        }
        for f in facts.findings
    ]


def inside_wanted(facts: ProveFacts) -> list[str]:
    """Return what is still to be looked at inside, to be said before the case is shut; nothing while it is shut."""
    if not facts.case_open:
        return []
    open_ = [each for each in facts.asked() if each.item.opens_case and not each.done]
    return [f"{each.item.title}: look {'a second time' if each.wants_second else 'at it'}." for each in open_]


def work_rows(job: Job) -> list[WorkDone]:
    """Return the work of a job that stands, in the order done."""
    rows = WorkDone.objects.filter(job=job, struck_at__isnull=True)
    return list(rows.select_related("by", "movement__part").order_by("at", "pk"))


@dataclass(frozen=True, slots=True)
class RingRow:
    """One size a worn ring may have been."""

    name: str
    nominal: str
    off: str
    stretch: str


def ring_rows(
    *, id_mm: Decimal, section_a_mm: Decimal, section_b_mm: Decimal, groove_d_mm: Decimal | None
) -> tuple[Match, list[RingRow]]:
    """Return the match and its candidates, best first. :raises ValueError: with a sentence."""
    found = matching.match(id_mm=id_mm, section_a_mm=section_a_mm, section_b_mm=section_b_mm, groove_d_mm=groove_d_mm)
    rows = []
    for candidate in found.candidates[:RINGS_SHOWN]:
        size = candidate.size
        rows.append(
            RingRow(
                f"{size.standard} {size.dash}".strip(),
                f"{measure(size.id_mm)} × {measure(size.section_mm)} mm",
                f"{candidate.id_error_mm:+.2f} and {candidate.section_error_mm:+.2f} mm",
                f"{candidate.stretch_percent:.1f} %" if candidate.stretch_percent is not None else "",
            )
        )
    return found, rows
