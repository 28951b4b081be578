"""This morning: each question answered from real rows, with one sentence a machine."""

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from django.urls import reverse

from handover import came_back, care_due, distance_rows
from handover import messages as handover_messages
from handover import strip as handover_strip
from handover.models import BuyerMessage
from workshop.bench import stops as bench_stops
from workshop.core.models import Job, Shop, Wait
from workshop.core.stations import Standing
from workshop.core.templatetags.measures import money, short_day
from workshop.core.words import JobKind
from workshop.desk import frame, stations
from workshop.pricing import decide as deciding
from workshop.pricing import gain, owed

CARE_SHOWN = 5  # the list has them all. House policy.
READY_SHOWN = 5  # more would bury the answer; the Bench page lists them all. House policy.


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the ledger."""

    name: str
    url: str
    words: str
    when: str
    rail: list[frame.RailStep] = field(default_factory=list)
    label: str = ""  # stands in the rail's column when there is no rail ("owes us")
    stop: bool = False
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class Question:
    """One question with its answer."""

    title: str
    summary: str
    rows: list[Row]
    empty: str


@dataclass(frozen=True, slots=True)
class Morning:
    """The whole page."""

    next: dict[str, str] | None
    questions: list[Question]
    nothing: bool


@dataclass(frozen=True, slots=True)
class _Known:
    """What was read once about all open jobs."""

    jobs: dict[int, Job]
    standings: dict[int, list[Standing]]
    waits: dict[int, list[Wait]]
    stops: dict[int, list[bench_stops.Stop]]
    reserved: dict[int, handover_strip.Reserved]
    gains: dict[int, int | None]
    asked: dict[int, str]  # why it must be decided again whether to carry on
    shop: Shop | None

    def rail(self, job_id: int) -> list[frame.RailStep]:
        """Return the rail of one job."""
        return frame.rail(self.jobs[job_id], self.standings[job_id], self.waits[job_id])

    def row(self, job_id: int, words: str, when: str, *, stop: bool = False) -> Row:
        """Return a ledger line of one job."""
        machine = self.jobs[job_id].machine
        return Row(machine.name, machine.get_absolute_url(), words, when, self.rail(job_id), stop=stop)

    def next_words(self, job_id: int) -> str:
        """Return the next step of one job in words."""
        step = frame.next_step(self.jobs[job_id], self.standings[job_id], self.asked.get(job_id, ""))
        return step["words"] if step else "Nothing left to do."


def _proved(standing: list[Standing]) -> Any:
    return next(s.facts for s in standing if s.station.code == "PROVE")


def _read(today: date) -> _Known:
    jobs = {job.pk: job for job in Job.objects.open().for_page().order_by("opened_at", "pk")}
    ids = list(jobs)
    standings = stations.standings(ids)
    proved = {pk: _proved(rows) for pk, rows in standings.items()}
    return _Known(
        jobs,
        standings,
        stations.waits(ids),
        bench_stops.stops(ids, today, proved),
        handover_strip.reserved(ids),
        gain.per_hour_minor(ids, today),
        deciding.asks(ids, proved),
        owed.shop(),
    )


def morning(today: date, *, shows_money: bool) -> Morning:
    """Return the page. A person who may not see prices gets neither Owed nor gains."""
    known = _read(today)
    ready, written = _ready(known, shows_money), handover_messages.waiting()
    questions = [_wrote(written)] if written else []
    if cancellable := distance_rows.morning(today):
        questions.append(_may_cancel(cancellable))
    questions += [_reserved(known), _stuck(known, today), _came_back(known)]
    if due := [row for row in care_due.this_week(today) if not row.done]:
        questions.append(_care(due))
    if shows_money:
        questions.append(_owed(today))
    questions.append(ready)
    next_ = _danger(written) or _next(known, ready)
    return Morning(next_, questions, nothing=not known.jobs and not written)


def _wrote(written: list[BuyerMessage]) -> Question:
    """What buyers wrote and nobody has answered, also of machines that were sold: dangers first."""
    rows = [
        Row(row.link.job.machine.name, _answer_url(row), row.told, short_day(row.at), stop=row.is_danger)
        for row in written
    ]
    return Question("The buyer wrote", str(len(rows)), rows, "Nobody waits for an answer.")


def _may_cancel(rows: list[distance_rows.MorningRow]) -> Question:
    """Machines sold at a distance whose buyers may still cancel: what wants an act first, then by the last day."""
    lines = [Row(row.job.machine.name, row.url, row.words, row.when, heavy=row.heavy) for row in rows]
    return Question("May cancel", str(len(lines)), lines, "No time to cancel runs.")


def _danger(written: list[BuyerMessage]) -> dict[str, str] | None:
    if not written or not written[0].is_danger:
        return None
    row = written[0]
    return {
        "words": f"The buyer wrote: {row.told} Answer them first.",
        "name": row.link.job.machine.name,
        "url": _answer_url(row),
        "button": "Answer the buyer",
    }


def _answer_url(row: BuyerMessage) -> str:
    return reverse("handover:handover", args=[row.link.job.machine.slug]) + "#buyer-wrote"


def _reserved(known: _Known) -> Question:
    rows = []
    for job_id, reserved in sorted(known.reserved.items(), key=lambda kv: (kv[1].collect_on or date.max, kv[0])):
        stop = next(iter(known.stops[job_id]), None)
        on_its_day = f"{reserved.buyer} collects" if reserved.collects else f"It goes to {reserved.buyer}"
        who = on_its_day if reserved.collect_on else f"{reserved.buyer} has not named a day"
        words = f"{stop.words} {who}." if stop else f"{who}. {known.next_words(job_id)}"
        rows.append(known.row(job_id, words, short_day(reserved.collect_on), stop=stop is not None))
    first = f", next on {rows[0].when}" if rows and rows[0].when else ""
    return Question("Reserved", f"{len(rows)}{first}", rows, "Nobody waits for a machine.")


def _stuck(known: _Known, today: date) -> Question:
    waiting = [(wait, job_id) for job_id, waits in known.waits.items() for wait in waits]
    waiting.sort(key=lambda pair: (pair[0].since_on, pair[1]))
    rows = []
    for wait, job_id in waiting:
        who = f". {wait.who} moves it" if wait.who else ""
        rows.append(known.row(job_id, f"Waiting for {wait.what}{who}", frame.days_since(wait.since_on, today)))
    longest = f", longest {rows[0].when}" if rows else ""
    rows += [known.row(job_id, words, "") for job_id, words in known.asked.items()]
    return Question("Stuck", f"{len(rows)}{longest}", rows, "Nothing is stuck.")


def _came_back(known: _Known) -> Question:
    jobs = [job for job in known.jobs.values() if job.kind == JobKind.CAME_BACK]
    words = came_back.in_short(jobs, known.shop) if jobs else {}
    rows = [
        replace(
            known.row(job.pk, words[job.pk], short_day(job.opened_at)),
            url=reverse("handover:came_back", args=[job.machine.slug]),
        )
        for job in jobs
    ]
    return Question("Came back", str(len(rows)), rows, "Nothing has come back.")


def _care(due: list[care_due.Due]) -> Question:
    """Sold machines whose care falls due this week and whose buyers were not told of it yet."""
    url = reverse("handover:care_due")
    rows = [
        Row(
            row.job.machine.name,
            f"{url}#{row.anchor}",
            care_due.in_short(row),
            short_day(row.due_on),
            label=str(row.buyer or ""),
        )
        for row in due[:CARE_SHOWN]
    ]
    rest = len(due) - len(rows)
    return Question("Care due", f"{len(due)} this week" + (f", {rest} more on the list" if rest else ""), rows, "")


def _owed(today: date) -> Question:
    lines = owed.lines()
    rows = [
        Row(
            line.person,
            line.url or reverse("owed"),
            line.words,
            money(line.amount_minor, line.shop),
            label="owes us" if line.to_us else "we owe",
            heavy=True,
        )
        for line in lines
    ]
    oldest = f", oldest {frame.days_since(min(line.since_on for line in lines), today)}" if lines else ""
    count = "1 line" if len(lines) == 1 else f"{len(lines)} lines"
    return Question("Owed", f"{count}{oldest}", rows, "Square with everyone.")


def _ready(known: _Known, shows_money: bool) -> Question:
    """What can be worked on now: by the date agreed, then by net gain for each remaining bench hour."""
    stuck = {job_id for job_id, waits in known.waits.items() if waits} | known.asked.keys()
    ids = [job_id for job_id in known.jobs if job_id not in stuck and _open(known, job_id)]
    ids.sort(key=lambda job_id: _urgency(known, job_id))
    rows = []
    for job_id in ids[:READY_SHOWN]:
        gained = known.gains.get(job_id)
        when = f"{money(gained, known.shop)} an hour" if shows_money and gained is not None else ""
        rows.append(known.row(job_id, known.next_words(job_id), when))
    rest = len(ids) - len(rows)
    return Question("Ready", f"{len(ids)}" + (f", {rest} more on the bench" if rest else ""), rows, "Nothing is ready.")


def _open(known: _Known, job_id: int) -> bool:
    return any(not s.closed for s in known.standings[job_id])


def _urgency(known: _Known, job_id: int) -> tuple[date, float, int]:
    reserved = known.reserved.get(job_id)
    due = reserved.collect_on if reserved and reserved.collect_on else date.max
    gained = known.gains.get(job_id)
    return (due, -gained if gained is not None else float("inf"), job_id)


def _next(known: _Known, ready: Question) -> dict[str, str] | None:
    if not ready.rows:
        return None
    row = ready.rows[0]
    return {"words": row.words, "name": row.name, "url": row.url, "button": f"Open {row.name}"}
