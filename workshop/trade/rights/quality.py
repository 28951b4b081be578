"""The rights that stand beside any warranty, and how a known defect must be agreed: place by place."""

from dataclasses import dataclass
from decimal import Decimal

from workshop.trade.rights import sources
from workshop.trade.rights.places import key_of
from workshop.trade.sources import Figure, Source


@dataclass(frozen=True, slots=True)
class Quality:
    """What a place gives a buyer of a used machine, whatever a warranty says. None: no such figure there.

    `reject_days`: it may be brought back; `presumed_months`: a fault counts as there from the start;
    `years`, `used_years`: how long the seller answers, and the least that may be agreed for used goods.
    """

    place: str
    source: Source
    reject_days: Figure | None = None
    presumed_months: Figure | None = None
    years: Figure | None = None
    used_years: Figure | None = None


GB = Quality(
    "GB",
    sources.GB_QUALITY,
    reject_days=Figure(Decimal(30), "days", sources.GB_QUALITY),
    presumed_months=Figure(Decimal(6), "months", sources.GB_QUALITY),
)
EU = Quality(
    "EU",
    sources.EU_QUALITY,
    presumed_months=Figure(Decimal(12), "months", sources.EU_QUALITY),
    years=Figure(Decimal(2), "years", sources.EU_QUALITY),
    used_years=Figure(Decimal(1), "years", sources.EU_QUALITY),
)
AU = Quality("AU", sources.AU_QUALITY)
NZ = Quality("NZ", sources.NZ_QUALITY)
US = Quality("US", sources.US_QUALITY)
ELSEWHERE = Quality("", sources.QUALITY_UNSEEN)

_BY_PLACE = {row.place: row for row in (GB, EU, AU, NZ, US, ELSEWHERE)}


def quality_for(place_code: str) -> Quality:
    """Return what a place gives a buyer, by its ISO 3166 code."""
    return _BY_PLACE[key_of(place_code, frozenset(_BY_PLACE))]


@dataclass(frozen=True, slots=True)
class DefectRule:
    """How a defect known before the sale must be agreed. `separately`: in a line of its own, signed for apart."""

    place: str
    separately: bool
    source: Source


DE_KNOWN = DefectRule("DE", True, sources.DE_DEFECT)
EU_KNOWN = DefectRule("EU", True, sources.EU_DEFECT)
GB_KNOWN = DefectRule("GB", False, sources.GB_DEFECT)
AU_KNOWN = DefectRule("AU", False, sources.AU_QUALITY)
UNSEEN = DefectRule("", False, sources.DEFECT_UNSEEN)

_KNOWN = {row.place: row for row in (DE_KNOWN, EU_KNOWN, GB_KNOWN, AU_KNOWN, UNSEEN)}


def defect_rule_for(place_code: str) -> DefectRule:
    """Return how a place wants a known defect agreed."""
    return _KNOWN[key_of(place_code, frozenset(_KNOWN))]
