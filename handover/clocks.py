"""The workshop's warranty and the law's clock side by side, counted for the day a machine came back."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from handover import distance
from handover.models import HandedOver, Sheet
from handover.sheet import SheetContent
from workshop.core.models import Job, Shop
from workshop.core.templatetags.measures import day
from workshop.trade.care.spans import add_months
from workshop.trade.rights import clock
from workshop.trade.rights.clock import Term
from workshop.trade.sources import Seen

_SEEN = {
    Seen.MEMORY: "from memory, not checked",
    Seen.SECOND_HAND: "read second-hand",
    Seen.READ: "read",
}
_IN_YEARS_FROM_DAYS = 2 * 365  # nobody reads two thousand days. House policy.


@dataclass(frozen=True, slots=True)
class Clock:
    """One term: whose it is, what it says, its length, its last day, whether it still ran."""

    whose: str
    words: str
    length: str
    until: str
    state: str
    runs: bool
    source: str = ""


@dataclass(frozen=True, slots=True)
class Clocks:
    """What is counted, and from which day; `notes` are what no day can say."""

    got_on: date | None
    on: date
    rows: list[Clock]
    notes: tuple[str, ...]


def got_on(sale: Job) -> date | None:
    """Return the day the buyer got the machine: handed over, else the day the job ended."""
    return got_on_of([sale.pk]).get(sale.pk)


def clocks(sale: Job, shop: Shop, on: date) -> Clocks:
    """Return both clocks on a day. Four queries."""
    got, law = got_on(sale), clock.law_of(shop.country)
    if got is None:
        return Clocks(None, on, [], law.notes)
    rows = [_ours(shop, got, on, printed_for_of([sale.pk]).get(sale.pk)), *(_law(term, got, on) for term in law.terms)]
    return Clocks(got, on, [row for row in rows if row], law.notes)


def got_on_of(sale_ids: Collection[int]) -> dict[int, date]:
    """Return the day the buyer got the machine, of each sale that has ended. Three queries for any number."""
    ended = Job.objects.filter(pk__in=sale_ids, closed_at__isnull=False).values_list("pk", "closed_at")
    handed = HandedOver.objects.filter(job_id__in=sale_ids, withdrawn_at__isnull=True).values_list("job_id", "at")
    got = {pk: timezone.localtime(at).date() for pk, at in [*ended, *handed]}
    return got | {pk: on for pk, on in distance.arrivals(sale_ids).items() if pk in got}


def printed_for_of(sale_ids: Collection[int]) -> dict[int, date]:
    """Return the day each sale's newest sheet was printed for: our warranty on it is counted from that. One query."""
    rows = Sheet.objects.filter(job_id__in=sale_ids).order_by("number").values_list("job_id", "content")
    sheets = {pk: SheetContent.readable(content) for pk, content in dict(rows).items()}
    return {pk: sheet.care_from for pk, sheet in sheets.items() if sheet and sheet.care_from}


def in_short(sale_got_on: date | None, shop: Shop, on: date, printed_for: date | None = None) -> str:
    """Say in a sentence what still ran on a day, for a list."""
    if sale_got_on is None:
        return ""
    ours = _ours(shop, sale_got_on, on, printed_for)
    burden = clock.law_of(shop.country).term("BURDEN")
    said = [f"our warranty: {ours.state}"] if ours else []
    if burden is not None:
        runs = on <= burden.until(sale_got_on)
        said.append(
            "the law takes the fault as there from the start" if runs else "the law asks them to show the fault"
        )
    words = ", ".join(said)
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def _ours(shop: Shop, got: date, on: date, printed_for: date | None) -> Clock | None:
    """Our own term: the buyer relies on the end their sheet prints, so the later of the two ends is kept."""
    if not shop.warranty_months:
        return None
    words, counted_from = shop.warranty_words, got
    if printed_for and printed_for > got:
        counted_from = printed_for
        said = f"Its sheet was printed for {day(printed_for)}, so it is counted from then: the later day holds."
        words = f"{words} {said}".strip()
    until = add_months(counted_from, shop.warranty_months)
    length = f"{shop.warranty_months} month{'' if shop.warranty_months == 1 else 's'}"
    return Clock("Our warranty", words, length, day(until), _state(until, on), on <= until)


def _law(term: Term, got: date, on: date) -> Clock:
    until, source = term.until(got), term.length.source
    seen = _SEEN.get(source.seen, source.seen.value)
    words = f"{source.title}, {seen}"
    return Clock("The law", term.words, term.length_words(), day(until), _state(until, on), on <= until, words)


def _state(until: date, on: date) -> str:
    left = (until - on).days
    if left < 0:
        return f"ended {_days(-left)} before"
    return f"{_days(left)} left" if left else "its last day"


def _days(count: int) -> str:
    if count >= _IN_YEARS_FROM_DAYS:
        return f"{count // 365} years"
    return "1 day" if count == 1 else f"{count} days"
