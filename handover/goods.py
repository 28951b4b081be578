"""What there is to go with a machine: its loose parts, each with its number, a basket by its size; then the extras."""

import re
from collections.abc import Collection

from handover.models import Received
from intake.models import LoosePart
from workshop.core.models import Job
from workshop.core.templatetags.measures import measure
from workshop.pricing.models import SaleLine

_COUNT = re.compile(r"^(\d{1,3})\s*(?:[x×*]|times)\s+", re.IGNORECASE)
# A number before a thing, right or wrong. Two numbers are a size, like 120 x 80 mm.
_NUMBERED = re.compile(r"^([-−–+]?\d[\d.,]*)\s*(?:[x×*]|times)\s+(?=[^\d\s])", re.IGNORECASE)
MOST = 40  # lines of one list; house policy
MOST_OF_A_KIND = 99  # things on one line; house policy


def offered(job_ids: Collection[int]) -> dict[int, list[str]]:
    """Return what each job has to count: two queries for any number of jobs. A service, such as a delivery, is none."""
    lines: dict[int, list[str]] = {pk: [] for pk in job_ids}
    for row in LoosePart.objects.filter(job_id__in=job_ids, counted__gt=0).order_by("pk"):
        lines[row.job_id].append(_line(row))
    sold = SaleLine.objects.filter(sale__job_id__in=job_ids, sale__cancelled_at__isnull=True, struck_at__isnull=True)
    for job_id, words in sold.filter(is_service=False).order_by("pk").values_list("sale__job_id", "words"):
        lines[job_id].append(words)
    return lines


def of(job: Job) -> list[str]:
    """Return what one job has to count."""
    return offered([job.pk])[job.pk]


def _line(row: LoosePart) -> str:
    size = [measure(row.basket_mm, "mm"), row.get_walls_display().lower()]
    words = ", ".join(part for part in (row.words, *size) if part)
    return words if row.counted == 1 else f"{row.counted} × {words}"


def lines(typed: str) -> list[str]:
    """Return the lines of a typed list that say something, counts written one way: "2 x cup" is "2 × cup"."""
    said = (" ".join(line.split()) for line in typed.splitlines())
    return [_COUNT.sub(r"\1 × ", line) for line in said if line]


def miscounted(line: str) -> str:
    """Return what is wrong with the number of a line, or nothing."""
    found = _NUMBERED.match(line)
    if found is None or (found[1].isdecimal() and 1 <= int(found[1]) <= MOST_OF_A_KIND):
        return ""
    return f"“{line}”: count from 1 to {MOST_OF_A_KIND} of a thing, or leave the line out."


def added_since(row: Received | None, now: Collection[str]) -> list[str]:
    """Return what there is now that was not there when it was counted; nothing where that was not kept."""
    if row is None or row.offered is None:
        return []
    return [line for line in now if line not in row.offered]
