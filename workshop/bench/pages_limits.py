"""Prepared rows of Limits of this place: each limit in words, its figure on the example, and our own beside it."""

from dataclasses import dataclass

from workshop.bench import example, say
from workshop.bench.example import electrical_item, example_limits, example_unit
from workshop.bench.facts.prove.basis import limit_rows, standing_then
from workshop.bench.limits import place_limit
from workshop.bench.models import LimitRow
from workshop.bench.words import OwnMeasure
from workshop.trade.safety.electrical import PROFILES, Measure, Profile
from workshop.trade.sources import Source


@dataclass(frozen=True, slots=True)
class OwnLine:
    """A limit of our own, beside the place's."""

    pk: int
    words: str
    reason: str
    by: str


@dataclass(frozen=True, slots=True)
class LimitLine:
    """One measure: the place's rule, what it comes to on the example, where it comes from, and our own limit."""

    title: str
    figure: str
    rule: str = ""
    edition: str = ""
    source: str = ""
    seen: str = ""
    own: OwnLine | None = None


@dataclass(frozen=True, slots=True)
class LimitsPage:
    """Everything the page of the limits shows."""

    profile: Profile
    in_use: bool
    why_none: str  # why readings are only recorded, with how that was seen
    example: str
    lines: list[LimitLine]
    bench: list[LimitLine]
    others: list[tuple[str, str]]  # code and title


def limits_page(profile: Profile, used: Profile) -> LimitsPage:
    """Return the limits of a profile, and what the workshop set itself."""
    own = standing_then(limit_rows(), profile.code)
    return LimitsPage(
        profile=profile,
        in_use=profile.code == used.code,
        why_none=f"{_source(profile.source)}. How it was seen: {profile.source.seen.value}." if profile.source else "",
        example=example.WORDS,
        lines=[_electrical(profile, measure, own.get(measure)) for measure in Measure],
        bench=[_bench(profile, each, own.get(each)) for each in OwnMeasure if each.electrical is None],
        others=[(p.code, f"{p.title}, {p.edition}") for p in PROFILES.values() if p.code != profile.code],
    )


def _electrical(profile: Profile, measure: Measure, own: LimitRow | None) -> LimitLine:
    rule = profile.rules.get(measure) or profile.type_test.get(measure)
    limit = place_limit(electrical_item(measure), example_unit(profile))
    return LimitLine(
        title=measure.label,
        figure=limit.words if limit else "recorded, no limit",
        rule=rule.words if rule else "",
        edition=profile.edition if rule else "",
        source=_source(rule.source) if rule else "",
        seen=rule.source.seen.value if rule else "",
        own=_own(own),
    )


def _bench(profile: Profile, measure: OwnMeasure, own: LimitRow | None) -> LimitLine:
    limits = example_limits(profile, measure)
    words = " or, with a rotary pump, ".join(limit.words for limit in limits)
    ready = "as the model notes say" if measure is OwnMeasure.READY else "recorded, no limit"
    return LimitLine(measure.label, words or ready, own=_own(own))


def _source(source: Source) -> str:
    return f"{source.title}: {source.where}" if source.where else source.title


def _own(row: LimitRow | None) -> OwnLine | None:
    return OwnLine(row.pk, row.words, row.reason, say.by_words(row.by, row.at)) if row else None
