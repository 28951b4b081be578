"""What Find reads: texts folded so that case and accents do not matter, one entry for each job and source.

Entries are derived. Each room says where its words stand (a `Reader`, for many jobs at once); its services call
`refresh` inside their act, and the desk can make every entry anew from the same readers.
"""

import re
import unicodedata
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass

from django.db.models import QuerySet

from workshop.core.models import Job, Machine, ModelNotes, Person, Place, SearchEntry, SearchText, Wait
from workshop.core.words import FoundIn

# Letters that fall apart into no letter and accent, as they are typed on a keyboard without them.
_PLAIN = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i", "ħ": "h"})
# The other way these are spelled: German, Danish, Norwegian and Swedish names are met both ways.
_SPELLED = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe"})
# Marks that stand for an apostrophe or a quotation mark: a phone's keyboard types curly ones.
_QUOTES = str.maketrans(
    dict.fromkeys("\u2018\u2019\u201a\u201b\u2032\u02bc\u02b9`\u00b4", "'")
    | dict.fromkeys("\u201c\u201d\u201e\u2033\u00ab\u00bb", '"')
)
_QUOTE = re.compile("['\"]")
CHUNK = 500  # jobs whose entries are written at once
_NO_LETTER = re.compile(r"[^\w]+|_")


@dataclass(frozen=True, slots=True)
class Text:
    """The words of one job from one source; `person_id` is whose name they are."""

    words: str = ""
    person_id: int | None = None


Reader = Callable[[Collection[int]], dict[int, Text]]


def fold(text: str) -> str:
    """Return the text without case, accents or characters nobody sees: "Größe Crème Ølgod" is "grosse creme olgod"."""
    apart = unicodedata.normalize("NFKD", text.casefold().translate(_QUOTES).translate(_PLAIN))
    kept = (c for c in apart if not unicodedata.combining(c))
    return " ".join("".join(c if c.isprintable() else " " for c in kept).split())


def folds(text: str) -> tuple[str, ...]:
    """Return the ways the text may be typed: folded, with ä, ö, ü, å, ø spelled out, and without its quotes."""
    composed = unicodedata.normalize("NFC", text).casefold()
    ways = (fold(text), fold(composed.translate(_SPELLED)))
    bare = (way for way in (_QUOTE.sub("", one).strip() for one in ways) if way)
    return tuple(dict.fromkeys((*ways, *bare)))


def folded(text: str, source: FoundIn) -> str:
    """Return what is stored of a text: every way of typing it, a serial also without its hyphens and spaces."""
    ways = list(folds(text))
    if source is FoundIn.SERIAL:
        ways.append(_NO_LETTER.sub("", ways[0]))
    return "\n".join(dict.fromkeys(filter(None, ways)))


def refresh(job: Job, readers: Mapping[FoundIn, Reader], *sources: FoundIn) -> None:
    """Read these sources of a job again (all, when none is named). Call it inside an act."""
    _put(job.pk, {source: readers[source]([job.pk]).get(job.pk, Text()) for source in sources or readers})


def refresh_machine(machine: Machine) -> None:
    """Read name, serial, model and place again, for every job of a machine. Call it inside an act."""
    for job in machine.jobs.all():
        refresh(job, READERS, FoundIn.NAME, FoundIn.SERIAL, FoundIn.MODEL, FoundIn.PLACE)


def _put(job_id: int, texts: Mapping[FoundIn, Text]) -> None:
    rows = _rows({source: {job_id: text} for source, text in texts.items()})
    gone = set(texts) - {row.source for row in rows}
    SearchEntry.objects.filter(job_id=job_id, source__in=gone).delete()
    SearchEntry.objects.bulk_create(
        rows, update_conflicts=True, unique_fields=["job", "source"], update_fields=["folded", "person"]
    )
    _join([job_id])


def _join(job_ids: Collection[int]) -> None:
    """Put all entries of each job into its one row."""
    lines: dict[int, list[str]] = {job_id: [] for job_id in job_ids}
    entries = SearchEntry.objects.filter(job_id__in=job_ids).order_by("job_id", "source")
    for job_id, words in entries.values_list("job_id", "folded"):
        lines[job_id].append(words)
    rows = [SearchText(job_id=job_id, folded="\n".join(words)) for job_id, words in lines.items()]
    SearchText.objects.bulk_create(rows, update_conflicts=True, unique_fields=["job"], update_fields=["folded"])


def _rewrite(entries: QuerySet[SearchEntry], words: str) -> None:
    """Give all these entries the same words, or drop them where there are none."""
    job_ids = list(entries.order_by("job_id").values_list("job_id", flat=True))
    if words:
        entries.update(folded=words)
    else:
        entries.delete()
    for at in range(0, len(job_ids), CHUNK):
        _join(job_ids[at : at + CHUNK])


def _rows(found: Mapping[FoundIn, Mapping[int, Text]]) -> list[SearchEntry]:
    return [
        SearchEntry(job_id=job_id, source=source, folded=words, person_id=text.person_id)
        for source, texts in found.items()
        for job_id, text in texts.items()
        if (words := folded(text.words, source))
    ]


def person_changed(person: Person) -> None:
    """Follow a person who was renamed or erased, wherever their name is found. Call it inside an act."""
    _rewrite(SearchEntry.objects.filter(person=person), folded(person.name, FoundIn.SELLER))


def place_changed(place: Place) -> None:
    """Follow a place that was renamed. Call it inside an act."""
    entries = SearchEntry.objects.filter(source=FoundIn.PLACE, job__machine__place=place)
    _rewrite(entries, folded(place.name, FoundIn.PLACE))


def notes_changed(notes: ModelNotes) -> None:
    """Follow model notes whose maker or model changed. Call it inside an act."""
    entries = SearchEntry.objects.filter(source=FoundIn.MODEL, job__machine__notes=notes)
    _rewrite(entries, folded(str(notes), FoundIn.MODEL))


def rebuild(job_ids: Collection[int], readers: Mapping[FoundIn, Reader]) -> int:
    """Make every entry of these jobs anew and return how many there are: a constant number of queries."""
    rows = _rows({source: reader(job_ids) for source, reader in readers.items()})
    SearchEntry.objects.filter(job_id__in=job_ids).delete()
    made = SearchEntry.objects.bulk_create(rows, batch_size=CHUNK)
    _join(job_ids)
    return len(made)


def joined(rows: Collection[tuple[int, str]]) -> dict[int, Text]:
    """Return the texts of many rows, by job: one line a row."""
    lines: dict[int, list[str]] = {}
    for job_id, words in rows:
        lines.setdefault(job_id, []).append(words)
    return {job_id: Text("\n".join(found)) for job_id, found in lines.items()}


def _column(*paths: str) -> Reader:
    def read(job_ids: Collection[int]) -> dict[int, Text]:
        rows = Job.objects.filter(pk__in=job_ids).values_list("pk", *paths)
        return {pk: Text(" ".join(value for value in values if value)) for pk, *values in rows}

    return read


def _waits(job_ids: Collection[int]) -> dict[int, Text]:
    rows = Wait.objects.filter(job_id__in=job_ids).order_by("pk").values_list("job_id", "what", "who")
    return joined([(job_id, f"{what} {who}") for job_id, what, who in rows])


READERS: dict[FoundIn, Reader] = {
    FoundIn.NAME: _column("machine__name"),
    FoundIn.SERIAL: _column("machine__serial"),
    FoundIn.MODEL: _column("machine__notes__maker", "machine__notes__model"),
    FoundIn.PLACE: _column("machine__place__name"),
    FoundIn.COMPLAINT: _column("complaint"),
    FoundIn.WAIT: _waits,
}
