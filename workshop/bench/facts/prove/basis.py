"""What the proving of each machine goes by: the profile in its version, our own limits as they stood, the set."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from workshop.bench.models import LimitRow, ProveBasis
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import BasisOf
from workshop.trade.safety.electrical import EVERY_VERSION, OwnLimit, Profile, version_of


@dataclass(frozen=True, slots=True)
class Kept:
    """The limits one machine is held against. `since` is None before its first reading: today's limits hold then."""

    profile: Profile
    own: Mapping[str, OwnLimit]
    since: datetime | None = None
    row_pk: int | None = None
    differs: bool = False  # today's limits are others


def bases(job_ids: Collection[int]) -> dict[int, dict[str, ProveBasis]]:
    """Return the rows that stand, by job and what they say: one query for any number of jobs."""
    found: dict[int, dict[str, ProveBasis]] = defaultdict(dict)
    for row in ProveBasis.objects.filter(STANDS, job_id__in=job_ids).order_by("pk"):
        found[row.job_id][row.what] = row
    return found


def limit_rows() -> list[LimitRow]:
    """Return every limit of our own that was ever set, with its taking back: one query."""
    return list(LimitRow.objects.filter(struck=False).select_related("corrected_by", "by").order_by("pk"))


def standing_then(rows: Iterable[LimitRow], profile: str, at: datetime | None = None) -> dict[str, LimitRow]:
    """Return the rows that counted at a time (now, without one) for a profile and at the bench, by measure."""
    return {row.measure: row for row in rows if row.profile in (profile, "") and _stood(row, at)}


def _stood(row: LimitRow, at: datetime | None) -> bool:
    taken_back = getattr(row, "corrected_by", None)  # a reverse one-to-one: missing is an error of its own
    if at is None:
        return taken_back is None
    return row.at <= at and (taken_back is None or taken_back.at > at)


def kept(row: ProveBasis | None, today: Profile, rows: list[LimitRow]) -> Kept:
    """Return the limits of one machine: those it began with, or today's."""
    now = _own(rows, today, None)
    if row is None:
        return Kept(today, now)
    began = version_of(EVERY_VERSION, row.profile, row.profile_version or 0)
    own = _own(rows, began, row.at)
    differs = (began.code, row.profile_version) != (today.code, today.version) or own != now
    return Kept(began, own, row.at, row.pk, differs)


def _own(rows: list[LimitRow], profile: Profile, at: datetime | None) -> dict[str, OwnLimit]:
    return {measure: row.own for measure, row in standing_then(rows, profile.code, at).items()}


def full_because(found: Mapping[str, ProveBasis]) -> str:
    """Return why the full set was asked for this machine; empty where nobody asked."""
    row = found.get(BasisOf.FULL_SET)
    return row.because if row else ""
