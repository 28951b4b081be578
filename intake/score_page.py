"""What the page that explains the condition score prints: tables rendered from the rule itself, and its example."""

from dataclasses import dataclass
from decimal import Decimal

from intake import blind
from workshop.core.templatetags.measures import number
from workshop.trade.condition import agreement, axes, scoring, sources
from workshop.trade.condition.scoring import Face, Mark, MarkKind, Shows
from workshop.trade.sources import Figure, Source

# Invented, and small enough to check by hand.
EXAMPLE = (
    Mark(Face.FRONT, "low left", MarkKind.SCRATCH, Decimal(30), Shows.CLOSE_UP),
    Mark(Face.LEFT, "middle", MarkKind.DENT, Decimal(6), Shows.FELT),
    Mark(Face.TOP, None, MarkKind.STAIN, Decimal(20), Shows.ARMS_LENGTH),
    Mark(None, None, MarkKind.SCRATCH, Decimal(50), Shows.CLOSE_UP, "Filter handle"),
)
VERSIONS = (
    (1, "The six faces only."),
    (2, "Marks on loose parts count as well, as little as those on the back."),
)


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One figure of the rule: what it is for, the figure with its unit, the code of where it comes from."""

    what: str
    figure: str
    source: str


@dataclass(frozen=True, slots=True)
class RuleTable:
    """Figures of one kind, and their sources in words."""

    label: str
    rows: list[RuleRow]
    sources: list[str]


@dataclass(frozen=True, slots=True)
class Agreeing:
    """How far a second, blind person agrees; before there are enough machines, a sentence that says so."""

    told: str
    share: str = ""
    mean: str = ""


@dataclass(frozen=True, slots=True)
class ScorePage:
    """Everything the page prints."""

    policy: str
    axes: tuple[axes.Axis, ...]
    axes_sources: list[str]
    tables: list[RuleTable]
    example: list[tuple[str, str]]
    example_score: str
    near: str
    version: int
    versions: tuple[tuple[int, str], ...]
    agreeing: Agreeing


def score_page() -> ScorePage:
    """Return the page: everything in it is read from the rule that scores."""
    example = scoring.score(EXAMPLE)
    return ScorePage(
        policy=scoring.POLICY_WORDS,
        axes=axes.AXES,
        axes_sources=[_source(axes.SCALE), _source(axes.CLASSES)],
        tables=_tables(),
        example=[(line.words.rsplit(":", 1)[0], f"{number(line.cost)} off") for line in example.lines],
        example_score=str(example.value),
        near=_source(sources.CALIBRATION),
        version=scoring.RULE_VERSION,
        versions=VERSIONS,
        agreeing=_agreeing(),
    )


def _tables() -> list[RuleTable]:
    kinds = [(f"{kind.label.capitalize()}, {kind.measured}", scoring.POINTS[kind]) for kind in MarkKind]
    strengths = [(shows.label.capitalize(), scoring.STRENGTH[shows]) for shows in Shows]
    places = [(face.label.capitalize(), scoring.FACE_WEIGHT[face]) for face in Face]
    places.append(("A loose part", scoring.LOOSE_WEIGHT[scoring.RULE_VERSION]))
    return [_table("Kind of mark", kinds), _table("How it shows", strengths), _table("Where it is", places)]


def _table(label: str, figures: list[tuple[str, Figure]]) -> RuleTable:
    rows = [RuleRow(what, f"{number(f.value)}\u00a0{f.unit}", f.source.code) for what, f in figures]
    return RuleTable(label, rows, list(dict.fromkeys(_source(figure.source) for _, figure in figures)))


def _source(source: Source) -> str:
    return f"{source.code}: {source.title} ({source.seen.value})"


def _agreeing() -> Agreeing:
    count, found = blind.agreed()
    if found is None:
        have = {0: "No closed machine has", 1: "1 closed machine has"}.get(count, f"{count} closed machines have")
        enough = number(agreement.ENOUGH.value)
        return Agreeing(f"{have} both scores. From {enough} on, it says here how far they agree.")
    told = f"{found.machines} closed machines have both scores."
    share = f"{number(found.share_within * 100)} in 100 within {number(agreement.WITHIN.value)}"
    return Agreeing(told, share, f"{'+' if found.mean_difference > 0 else ''}{number(found.mean_difference)}")
