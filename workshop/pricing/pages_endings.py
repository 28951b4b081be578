"""Prepared rows of the papers that an ended job leaves behind: strip list, scrap note, receipt, note of sale."""

from collections.abc import Callable
from dataclasses import dataclass, field

from workshop.core.models import Job, Machine, Shop
from workshop.core.templatetags.measures import day, money
from workshop.core.words import ClosedAs, JobKind
from workshop.pricing import balances
from workshop.pricing.models import Ending

SHELL = "What is left of it goes to scrap, with its cord cut off close to the case."  # common practice
CUT = "Its cord was cut off close to the case, so that nobody plugs it in again."  # common practice


@dataclass(frozen=True, slots=True)
class PartRow:
    """One line of a strip list."""

    name: str
    pieces: int
    one: str
    worth: str


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper: title, facts as label and words, sentences, lists, and the names to sign."""

    title: str
    facts: list[tuple[str, str]]
    sentences: list[str]
    label: str = ""  # printed big in a box
    parts: list[PartRow] = field(default_factory=list)
    total: str = ""
    lists: list[tuple[str, list[str]]] = field(default_factory=list)
    sign: tuple[str, ...] = ()


def paper(row: Ending, shop: Shop) -> Paper:
    """Return the paper of an ending. Two queries at most beside the ending's own."""
    return _PAPERS[ClosedAs(row.closed_as)](row, shop)


def standing(job: Job) -> Ending | None:
    """Return how the job ended, if it ended otherwise than handed over."""
    rows = Ending.objects.filter(job=job, withdrawn_at__isnull=True)
    return rows.select_related("by", "person", "job__machine__notes").first()


def _facts(row: Ending) -> list[tuple[str, str]]:
    machine: Machine = row.job.machine
    return [
        ("Machine", f"{machine}, {machine.notes}"),
        ("Serial", machine.serial_words),
        ("Date", day(row.at)),
        ("By", str(row.by)),
    ]


def _said(row: Ending) -> list[str]:
    return [row.words] if row.words else []


def _strip(row: Ending, shop: Shop) -> Paper:
    parts = [
        PartRow(
            str(out.movement.part),
            out.movement.qty,
            money(out.movement.value_minor // out.movement.qty, shop),
            money(out.movement.value_minor, shop),
        )
        for out in row.parts_out.select_related("movement__part").order_by("pk")
    ]
    return Paper(
        f"Strip list of {row.job.machine}",
        _facts(row),
        [*_said(row), SHELL],
        parts=parts,
        total=money(row.money_minor, shop),
        sign=("For the workshop",),
    )


def _scrap(row: Ending, shop: Shop) -> Paper:
    taken = [("Where it goes", row.paper["taken_to"])] if row.paper.get("taken_to") else []
    return Paper(
        f"Scrap note for {row.job.machine}", [*_facts(row), *taken], [*_said(row), CUT], sign=("For the workshop",)
    )


def _back(row: Ending, shop: Shop) -> Paper:
    came_back = row.job.kind == JobKind.CAME_BACK
    whom = str(row.person) if row.person else "its buyer" if came_back else "its seller"
    facts = [*_facts(row), ("Given back to", whom)]
    if row.money_minor is not None:
        facts.append(("Paid back", money(row.money_minor, shop)))
    if row.owed_words:
        facts.append(("Of the rest", row.owed_words))
    loose = [f"{p.words}: {p.counted}" for p in row.job.loose_parts.filter(counted__gt=0).order_by("pk")]
    return Paper(
        f"Receipt: {row.job.machine} given back",
        facts,
        [*_said(row), *row.paper.get("untested", [])],
        lists=[("It came with", loose)] if loose else [],
        sign=("Taken back by", "For the workshop"),
    )


def _kept(row: Ending, shop: Shop) -> Paper:
    return Paper(f"{row.job.machine} is kept", _facts(row), _said(row), sign=("For the workshop",))


def _sold(row: Ending, shop: Shop) -> Paper:
    sale = balances.standing([row.job_id]).get(row.job_id)
    facts = [*_facts(row), ("Buyer", str(row.person))]
    if sale is not None:
        held = balances.of_sale(sale)
        facts += [
            ("Price", money(held.price_minor, shop)),
            ("To come", money(held.to_come_minor, shop) if held.to_come_minor else "nothing"),
        ]
    if row.owed_words:
        facts.append(("Owed", row.owed_words))
    told = [(title, list(lines)) for title, lines in row.paper.get("told", []) if lines]
    return Paper(
        f"{row.job.machine}, sold untested or faulty",
        facts,
        [*row.paper.get("lines", []), *_said(row)],
        label=row.paper.get("title", ""),
        lists=told,
        sign=("Buyer, told and agreed", "For the workshop"),
    )


_PAPERS: dict[ClosedAs, Callable[[Ending, Shop], Paper]] = {
    ClosedAs.STRIPPED: _strip,
    ClosedAs.SCRAPPED: _scrap,
    ClosedAs.GIVEN_BACK: _back,
    ClosedAs.KEPT: _kept,
    ClosedAs.SOLD_UNTESTED: _sold,
}
