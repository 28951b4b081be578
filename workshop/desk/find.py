"""Find: machines by any word of their jobs. Case, accents and one slip in a name do not matter.

Phones, the reasons of decisions and endings, and the references of an old book are read where they stand. Phones are
for the owner alone: no second copy of them lies in what Find reads.
"""

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import islice, product

from django.db.models import Case, F, Q, QuerySet, TextField, Value, When
from django.db.models.functions import Concat, Lower, Replace, StrIndex
from django.db.models.lookups import GreaterThan

from handover import found as handover_found
from intake import found as intake_found
from workshop.bench import found as bench_found
from workshop.core import names, search
from workshop.core.models import Job, ModelNotes, Person, Place, SearchEntry, SearchText
from workshop.core.stations import Standing
from workshop.core.words import FoundIn
from workshop.desk import stations
from workshop.desk.models import PastRow
from workshop.desk.past import check
from workshop.desk.words import Past
from workshop.pricing.models import Decision, Ending

READERS: dict[FoundIn, search.Reader] = {
    **search.READERS,
    **intake_found.READERS,
    **bench_found.READERS,
    **handover_found.READERS,
}
SHOWN = 20  # more hits than this want another word. House policy.
WORDS = 8  # words of a question that are looked for. House policy.
SHORT = 2  # letters or figures: words up to this are not looked for inside of others. House policy.
SLIP_FROM = 4  # letters; shorter words are one slip from too many others. House policy.
MEANT = 3  # offers of "did you mean". House policy.
TRIED = 12  # ways of mending a question that are tried before giving up. House policy.
PHONE_FIGURES = (5, 9)  # so many figures at least are a phone number; the last nine tell it, without its prefix
PEOPLE_READ = 2000  # the newest people whose names are held against a slip. House policy.
ENOUGH = 4 * (SHOWN + 1)  # jobs: so many that one machine more than is shown is among them, returns counted in


@dataclass(frozen=True, slots=True)
class Hit:
    """One machine found: where it stands, at which station, and where the words were met."""

    name: str
    url: str
    model: str
    place: str
    station: str
    where: str
    closed: bool


@dataclass(frozen=True, slots=True)
class Found:
    """The answer to one question; `more` says that not all hits are shown, `meant` are better spelled questions."""

    hits: list[Hit]
    more: bool = False
    meant: tuple[str, ...] = ()


def find(question: str, *, knows_people: bool = False) -> Found:
    """Return the machines that hold every word of the question, newest first, or what may have been meant.

    `knows_people`: a phone number finds its seller's and buyer's machines, and a slip in their names is asked back.
    """
    words = list(dict.fromkeys(filter(search.fold, question.split())))[:WORDS]
    if not words:
        return Found([])
    others = _elsewhere(question, words, knows_people=knows_people)
    job_ids = sorted(set(_job_ids(words)).union(*others.values()), reverse=True)[:ENOUGH]
    jobs = _newest_a_machine(job_ids)
    if not jobs:
        return Found([], meant=_meant(words, knows_people=knows_people))
    return Found(_hits(jobs[:SHOWN], job_ids, words, others), more=len(jobs) > SHOWN)


def rebuild(jobs: "QuerySet[Job] | None" = None) -> int:
    """Make the entries of these jobs (of all) anew, in one go each few hundred; return how many there are."""
    ids = list((Job.objects.all() if jobs is None else jobs).order_by("pk").values_list("pk", flat=True))
    return sum(search.rebuild(ids[at : at + search.CHUNK], READERS) for at in range(0, len(ids), search.CHUNK))


def _holding(word: str) -> Q:
    holding = Q()
    for way in search.folds(word):
        holding |= _standing("folded__contains", way)
    return holding


def _standing(reads: str, way: str) -> Q:
    """Find a word anywhere; one of two letters only where a word begins, one of one letter as a whole word.

    Inside of words so short a one stands in nearly every row. `reads`: a column with its look-up.
    """
    inside = Q(**{reads: way})
    if len(way) > SHORT or not way.isalnum():
        return inside
    column, _, how = reads.partition("__")
    text = F(column) if how == "contains" else Lower(column)  # what is folded has no capitals
    plain = TextField()  # PostgreSQL's door does not mix a short column with a long one
    blank = Value(" ", output_field=plain)
    words = Replace(text, Value("\n", output_field=plain), blank, output_field=plain)
    spaced = Concat(blank, words, blank, output_field=plain)
    sought = f" {way.lower()}" if len(way) == SHORT else f" {way.lower()} "
    return inside & Q(GreaterThan(StrIndex(spaced, Value(sought)), 0))


def _job_ids(words: Collection[str]) -> list[int]:
    """Return jobs that hold every word, newest first: one scan of one row a job."""
    texts = SearchText.objects.all()
    for word in words:
        texts = texts.filter(_holding(word))
    return list(texts.order_by("-pk").values_list("job_id", flat=True)[:ENOUGH])


def _elsewhere(question: str, words: Collection[str], *, knows_people: bool) -> dict[str, set[int]]:
    """Return the newest jobs found where no entry is kept, by where that is."""
    decided, ended = Q(struck=False, corrected_by__isnull=True), Q(withdrawn_at__isnull=True)
    for word in words:
        decided, ended = decided & _standing("because__icontains", word), ended & _standing("words__icontains", word)
    whys = [Decision.objects.filter(decided), Ending.objects.filter(ended)]
    keys = [check.key(kind, {"reference": " ".join(question.split())}) for kind in Past.values]
    return {
        "phone": _by_phone(question) if knows_people else set(),
        "why it was decided": {
            pk for rows in whys for pk in rows.order_by("-pk").values_list("job_id", flat=True)[:ENOUGH]
        },
        "reference in the old book": set(PastRow.objects.filter(key__in=keys).values_list("job_id", flat=True)),
    }


def _by_phone(question: str) -> set[int]:
    """Return the newest jobs whose seller or buyer has this number; how its figures are spaced does not matter."""
    figures = re.sub(r"\D", "", question)
    fewest, telling = PHONE_FIGURES
    if len(figures) < fewest or re.search(r"[^\d\s+()/.\-]", question):
        return set()
    phone = F("phone")
    for gap in " -()/.\u00a0":
        phone = Replace(phone, Value(gap))  # type: ignore[assignment]  # an expression in place of its column
    people = Person.objects.exclude(phone="").annotate(figures=phone)
    ids = list(people.filter(figures__contains=figures[-telling:]).values_list("pk", flat=True)[:ENOUGH])
    bought, sold = Q(purchase__seller__in=ids), Q(sales__buyer__in=ids, sales__cancelled_at__isnull=True)
    return (
        set(Job.objects.filter(bought | sold).order_by("-pk").values_list("pk", flat=True)[:ENOUGH]) if ids else set()
    )


def _newest_a_machine(job_ids: Collection[int]) -> list[Job]:
    """Return one job a machine, its open or else its newest, in the order found."""
    met = {job.pk: job.machine_id for job in Job.objects.filter(pk__in=job_ids)}
    machines = list(dict.fromkeys(met[pk] for pk in job_ids))[: SHOWN + 1]
    newest: dict[int, Job] = {}
    for job in Job.objects.for_page().filter(machine_id__in=machines).order_by("pk"):
        standing = newest.get(job.machine_id)
        if standing is None or standing.closed_at is not None:
            newest[job.machine_id] = job
    return [newest[pk] for pk in machines]


def _hits(
    jobs: list[Job], job_ids: Collection[int], words: Collection[str], others: Mapping[str, set[int]]
) -> list[Hit]:
    open_ids = [job.pk for job in jobs if job.closed_at is None]
    standings = stations.standings(open_ids) if open_ids else {}
    met = _met(job_ids, words)
    machine_of = dict(Job.objects.filter(pk__in=job_ids).values_list("pk", "machine_id"))
    elsewhere = {label: {machine_of.get(pk) for pk in ids} for label, ids in others.items()}
    return [
        Hit(
            name=job.machine.name,
            url=job.machine.get_absolute_url(),
            model=str(job.machine.notes),
            place=str(job.machine.place or ""),
            station=_station(job, standings),
            where=", ".join(_where(job.machine_id, met, elsewhere)),
            closed=job.closed_at is not None,
        )
        for job in jobs
    ]


def _where(machine_id: int, met: Mapping[int, set[str]], elsewhere: Mapping[str, set[int | None]]) -> list[str]:
    labels = [str(source.label) for source in FoundIn if source in met.get(machine_id, ())]
    return [*labels, *(label for label, machines in elsewhere.items() if machine_id in machines)]


def _met(job_ids: Collection[int], words: Collection[str]) -> dict[int, set[str]]:
    """Return where each machine was met, but not where only some of the words stand that elsewhere stand together."""
    holds = {f"word_{n}": Case(When(_holding(word), then=1), default=0) for n, word in enumerate(words)}
    held: dict[int, dict[str, set[int]]] = {}
    rows = SearchEntry.objects.filter(job_id__in=job_ids).annotate(**holds)
    for machine_id, source, *found in rows.values_list("job__machine_id", "source", *holds):
        mine = held.setdefault(machine_id, {}).setdefault(source, set())
        mine.update(n for n, met in enumerate(found) if met)
    return {
        machine_id: {source for source, mine in of.items() if mine and not any(mine < other for other in of.values())}
        for machine_id, of in held.items()
    }


def _station(job: Job, standings: dict[int, list[Standing]]) -> str:
    if job.closed_at is not None:
        return f"closed: {job.get_closed_as_display().lower()}"
    here = next((s for s in standings[job.pk] if not s.closed), None)
    return f"{here.station.label}: {here.words}" if here else "every station is finished"


# --- one slip ---------------------------------------------------------------------------------------------


def _meant(words: list[str], *, knows_people: bool) -> tuple[str, ...]:
    """Return the question with words we know in place of those one slip away, where that finds.

    Known are names of machines, places, makers and models; to one who `knows_people` also theirs.
    """
    texts = [*Place.objects.values_list("name", flat=True)]
    texts += [f"{maker} {model}" for maker, model in ModelNotes.objects.values_list("maker", "model")]
    if knows_people:
        texts += Person.objects.order_by("-pk").values_list("name", flat=True)[:PEOPLE_READ]
    known = _name_words() | {word for text in texts for word in search.fold(text).split()}
    choices = [_mended(word, known) for word in words]
    tried = (" ".join(way) for way in islice(product(*choices), TRIED))
    asked = " ".join(words)
    return tuple(islice((way for way in tried if way != asked and _job_ids(way.split())), MEANT))


def _mended(word: str, known: Collection[str]) -> list[str]:
    typed = search.fold(word)
    if typed in known or len(typed) < SLIP_FROM:
        return [word]
    return sorted(other for other in known if one_slip(typed, other)) or [word]


@cache
def _name_words() -> frozenset[str]:
    return frozenset(names.every_word())


def one_slip(typed: str, meant: str) -> bool:
    """Say whether one letter too many, too few, wrong, or two neighbours swapped lead from one word to the other."""
    if abs(len(typed) - len(meant)) > 1 or typed == meant:
        return False
    at = next((i for i, (a, b) in enumerate(zip(typed, meant, strict=False)) if a != b), min(len(typed), len(meant)))
    rest, wanted = typed[at:], meant[at:]
    swapped = rest[:2] == wanted[1::-1] and rest[2:] == wanted[2:]
    return swapped or wanted == rest[1:] or rest == wanted[1:] or rest[1:] == wanted[1:]
