"""Stations: what is missing, in sentences; what a sign-off rested on; and the state derived from both.

Nothing here is stored but the sign-off. Each app declares its stations as constants; the desk lists the six.
"""

import hashlib
import json
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Generic, TypeVar

from workshop.core.models import Signoff


@dataclass(frozen=True, slots=True)
class Unmet:
    """One reason why a station is not finished: a stable code, a sentence, and where to mend it."""

    code: str
    sentence: str
    page: str  # a URL name that takes the machine's name
    anchor: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """What a station knows about one job; apps add their own fields.

    `asserted` maps a stable key to row ids and values: a sign-off stores it and is compared with it, key by key.
    """

    begun: bool = False
    not_needed: str = ""  # the reason in words, when the station was answered with "not needed, because"
    asserted: Mapping[str, Any] = field(default_factory=dict)


F = TypeVar("F", bound=Facts)


class State(StrEnum):
    """Where a station stands, with the glyph that shows it."""

    NOT_BEGUN = "open"
    BEGUN = "half"
    FINISHED = "full"
    NOT_NEEDED = "na"


@dataclass(frozen=True, slots=True)
class Station(Generic[F]):
    """One station: its code, word and page, how its facts are read (set-based) and what is unmet (pure)."""

    code: str
    label: str
    page: str  # URL name, takes the machine's name
    facts: Callable[[Collection[int]], dict[int, F]]
    unmet: Callable[[F], list[Unmet]]
    earlier: "tuple[Station[Any], ...]" = ()  # must be finished, or not needed, before this one is


@dataclass(frozen=True, slots=True)
class Standing:
    """A station of one job, as the rail draws it."""

    station: Station[Any]
    facts: Facts
    state: State
    words: str
    unmet: list[Unmet]
    signoff: Signoff | None = None
    changed: bool = False

    @property
    def closed(self) -> bool:
        """Say whether nothing more is asked of the station: finished, or answered with why it is not needed."""
        return self.state in (State.FINISHED, State.NOT_NEEDED)


def canonical(asserted: Mapping[str, Any]) -> dict[str, Any]:
    """Return the asserted facts as JSON would give them back, so that stored and fresh compare equal."""
    result: dict[str, Any] = json.loads(json.dumps(asserted, default=str, sort_keys=True))
    return result


def fingerprint(facts: Facts) -> str:
    """Return a short hash of the asserted facts; the sign-off form carries it."""
    text = json.dumps(canonical(facts.asserted), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def differences(stored: Mapping[str, Any], now: Mapping[str, Any]) -> list[str]:
    """Return the stored keys whose value changed. New keys of a later release never withdraw an old sign-off."""
    fresh = canonical(now)
    return [key for key, value in stored.items() if fresh.get(key) != value]


def standing(station: Station[F], facts: F, signoff: Signoff | None, before: Collection[Standing] = ()) -> Standing:
    """Derive the station's state from its facts, its standing sign-off and the stations that come before it."""
    missing = [*_open(before), *station.unmet(facts)]
    if signoff is None:
        state = State.BEGUN if facts.begun or facts.not_needed else State.NOT_BEGUN
        return Standing(station, facts, state, "begun" if state is State.BEGUN else "not begun", missing)
    if differences(signoff.facts, facts.asserted) or missing:
        return Standing(station, facts, State.BEGUN, "signed off, then changed", missing, signoff, changed=True)
    if facts.not_needed:
        return Standing(station, facts, State.NOT_NEEDED, f"not needed: {facts.not_needed}", [], signoff)
    return Standing(station, facts, State.FINISHED, "finished", [], signoff)


def _open(before: Collection[Standing]) -> list[Unmet]:
    return [
        Unmet(f"open_{s.station.code.lower()}", f"Finish {s.station.label} first, and sign it off.", s.station.page)
        for s in before
        if not s.closed
    ]


def standings(stations: Collection[Station[Any]], job_ids: Collection[int]) -> dict[int, list[Standing]]:
    """Return every station's standing for each job: one facts call a station, one query for the sign-offs."""
    signed = {
        (row.job_id, row.station): row
        for row in Signoff.objects.filter(job_id__in=job_ids, withdrawn_at__isnull=True).select_related("by")
    }
    every = dict.fromkeys(each for station in stations for each in (*station.earlier, station))
    known = {station: station.facts(job_ids) for station in every}
    found: dict[int, list[Standing]] = {}
    for job_id in job_ids:
        mine: dict[str, Standing] = {}
        for station in every:
            before = [mine[each.code] for each in station.earlier]
            signoff = signed.get((job_id, station.code))
            mine[station.code] = standing(station, known[station][job_id], signoff, before)
        found[job_id] = [mine[station.code] for station in stations]
    return found


def one(station: Station[Any], job_id: int) -> Standing:
    """Return one station's standing for one job."""
    return standings([station], [job_id])[job_id][0]
