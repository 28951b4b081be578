"""What other rooms ask of intake, for many jobs at once: each answer is a constant number of queries."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Max, OuterRef, Subquery

from intake import zones
from intake.models import AsFound, Bag, Finding, Mark, Purchase, RecallCheck, SeenRunning, Walk
from intake.words import FindingEnd, RecallFound, WalkKind
from workshop.core.models import Job

_ALL_FACES = tuple(face.value for face in zones.FACES)


@dataclass(frozen=True, slots=True)
class Hold:
    """The wait the law demands before a machine may be sold, and where it says so, before it may be worked on."""

    until_on: date
    blocks_work: bool
    words: str

    def stands(self, today: date) -> bool:
        """Say whether it must still be held on this day (`until_on` is the first free day)."""
        return today < self.until_on

    def stops_work(self, today: date) -> bool:
        """Say whether opening, descaling and stripping must wait on this day; selling waits while it stands."""
        return self.blocks_work and self.stands(today)


@dataclass(frozen=True, slots=True)
class SecondLook:
    """The second look at the marks before a sale. `looks` and `marks` are row ids, for a sign-off to rest on."""

    begun: bool = False
    faces_unseen: tuple[str, ...] = _ALL_FACES
    looks: tuple[int, ...] = ()
    marks: tuple[int, ...] = ()

    @property
    def done(self) -> bool:
        """Say whether all six faces were looked at again."""
        return self.begun and not self.faces_unseen


def hold(job_ids: Collection[int]) -> dict[int, Hold | None]:
    """Return the hold of each job; None where the place demands none, or nothing was bought."""
    held: dict[int, Hold | None] = dict.fromkeys(job_ids)
    for row in Purchase.objects.filter(job_id__in=job_ids, hold_until_on__isnull=False):
        if row.hold_until_on:
            held[row.job_id] = Hold(row.hold_until_on, row.hold_blocks_work, row.hold_words)
    return held


def second_look(job_ids: Collection[int]) -> dict[int, SecondLook]:
    """Return how far the second look of each job is."""
    looks = dict.fromkeys(job_ids, SecondLook())
    marks = _second_marks(job_ids)
    walks = Walk.objects.filter(job_id__in=job_ids, kind=WalkKind.SOLD).prefetch_related("looks")
    for walk in walks:
        seen = {look.face: look.pk for look in walk.looks.all()}
        unseen = tuple(face for face in _ALL_FACES if face not in seen)
        looks[walk.job_id] = SecondLook(True, unseen, tuple(sorted(seen.values())), tuple(marks[walk.job_id]))
    return looks


def _second_marks(job_ids: Collection[int]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {job_id: [] for job_id in job_ids}
    rows = Mark.objects.filter(walk__job_id__in=job_ids, walk__kind=WalkKind.SOLD, withdrawn_at__isnull=True)
    for job_id, pk in rows.order_by("pk").values_list("walk__job_id", "pk"):
        found[job_id].append(pk)
    return found


def is_looked_at(job: Job) -> bool:
    """Say whether all six faces were looked at in one walk of this job: before that there is no score."""
    return faces_seen(job) == len(_ALL_FACES)


def faces_seen(job: Job) -> int:
    """Return how many faces the fullest walk of this job has looked at; a blind one counts for nobody else."""
    walks = Walk.objects.filter(job=job).exclude(kind=WalkKind.SECOND).annotate(seen=Count("looks"))
    return walks.aggregate(most=Max("seen"))["most"] or 0


def standing_marks(job_ids: Collection[int]) -> dict[int, set[int]]:
    """Return the ids of the marks each machine shows today: neither mended nor taken back, nor a blind walk's."""
    found: dict[int, set[int]] = {job_id: set() for job_id in job_ids}
    rows = Mark.objects.filter(walk__job_id__in=job_ids, withdrawn_at__isnull=True, mended_at__isnull=True)
    rows = rows.exclude(walk__kind=WalkKind.SECOND)
    for job_id, pk in rows.values_list("walk__job_id", "pk"):
        found[job_id].add(pk)
    return found


def findings(job_ids: Collection[int]) -> dict[int, list[Finding]]:
    """Return every finding of each job, in the order found."""
    found: dict[int, list[Finding]] = {job_id: [] for job_id in job_ids}
    for row in Finding.objects.filter(job_id__in=job_ids).order_by("pk"):
        found[row.job_id].append(row)
    return found


def open_findings(job_ids: Collection[int]) -> dict[int, list[Finding]]:
    """Return the findings of each job that have no end yet."""
    return {job_id: [f for f in rows if f.end == FindingEnd.OPEN] for job_id, rows in findings(job_ids).items()}


def purchases(job_ids: Collection[int]) -> dict[int, Purchase | None]:
    """Return how each job's machine was bought; None for one that came back."""
    bought: dict[int, Purchase | None] = dict.fromkeys(job_ids)
    for row in Purchase.objects.filter(job_id__in=job_ids).select_related("seller"):
        bought[row.job_id] = row
    return bought


def recall_looked_on(job_ids: Collection[int]) -> dict[int, date | None]:
    """Return the day of the latest look into the registers, by job; None where nobody looked."""
    found: dict[int, date | None] = dict.fromkeys(job_ids)
    for check in RecallCheck.objects.filter(job_id__in=job_ids).order_by("looked_on", "pk"):
        found[check.job_id] = check.looked_on
    return found


def latest_recall() -> Subquery:
    """Return what the latest look into the registers found for each job's machine, to be read beside its job.

    A machine that came back is as recalled as it was, until somebody looks again.
    """
    looks = RecallCheck.objects.filter(job__machine=OuterRef("machine")).order_by("-looked_on", "-pk")
    return Subquery(looks.values("found")[:1])


def recalled(job_ids: Collection[int]) -> dict[int, bool]:
    """Return whether the latest look into the registers found each job's machine recalled."""
    found = dict.fromkeys(job_ids, False)
    for check in RecallCheck.objects.filter(job_id__in=job_ids).order_by("looked_on", "pk"):
        found[check.job_id] = check.found == RecallFound.RECALLED
    return found


def as_found(job_ids: Collection[int]) -> dict[int, dict[str, AsFound]]:
    """Return the standing answers of the as-found card of each job, by item."""
    found: dict[int, dict[str, AsFound]] = {job_id: {} for job_id in job_ids}
    for row in AsFound.objects.current().filter(job_id__in=job_ids).select_related("by"):
        found[row.job_id][row.item] = row
    return found


def seen_running(job_ids: Collection[int]) -> dict[int, list[SeenRunning]]:
    """Return what was seen of each machine at its seller's, in the order seen. It proves nothing."""
    found: dict[int, list[SeenRunning]] = {job_id: [] for job_id in job_ids}
    rows = SeenRunning.objects.filter(job_id__in=job_ids, struck=False, corrected_by__isnull=True)
    for row in rows.select_related("by").order_by("seen_on", "pk"):
        found[row.job_id].append(row)
    return found


def bags(job_ids: Collection[int]) -> dict[int, Bag | None]:
    """Return the bag each machine is kept apart in now, or None."""
    found: dict[int, Bag | None] = dict.fromkeys(job_ids)
    for row in Bag.objects.filter(job_id__in=job_ids, cleared_at__isnull=True).select_related("bagged_by"):
        found[row.job_id] = row
    return found
