"""Station Intake: what it rests on and what is missing."""

from collections import defaultdict
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from typing import Any

from intake import zones
from intake.models import FaceLook, Finding, LoosePart, Nothing, Photo, Purchase, RecallCheck, SellerRecord
from intake.seller_record import wanted
from intake.words import STATION_CODE, NothingOf, PhotoFor, RecallFound, WalkKind
from workshop.core.models import Job, Shop
from workshop.core.reads import once_a_page
from workshop.core.stations import Facts, Station, Unmet
from workshop.core.words import JobKind, listed
from workshop.trade.condition.scoring import Face

PAGE, WALK, RECORD = "intake:intake", "intake:walk", "intake:seller_record"


@dataclass(frozen=True, slots=True, kw_only=True)
class IntakeFacts(Facts):
    """What is known of how one job came in. A machine that came back was not bought again."""

    was_bought: bool = True
    has_purchase: bool = False
    has_seller: bool = False
    has_date: bool = False
    has_place: bool = False
    has_serial: bool = False
    serial_unreadable: bool = False
    plate_photos: int = 0
    arrival_photos: int = 0
    faces_unseen: tuple[str, ...] = ()
    loose_counted: bool = False
    found_answered: bool = False
    said_answered: bool = False
    recall: str = ""  # what the latest look into the registers found; empty before the first
    has_hold: bool = False
    record_wants: str = ""  # what the law of the place still asks of the seller's record, in a sentence
    record_warns: str = ""  # what only the tax record still asks


@once_a_page
def facts(job_ids: Collection[int]) -> dict[int, IntakeFacts]:
    """Return the facts of each job in a constant number of queries."""
    read = _Read(job_ids)
    jobs = Job.objects.filter(pk__in=job_ids).select_related("machine")
    return {job.pk: read.facts(job) for job in jobs}


class _Read:
    """The rows of many jobs, each kind read once."""

    def __init__(self, job_ids: Collection[int]) -> None:
        self.shop = Shop.objects.filter(pk=1).first()
        bought = Purchase.objects.filter(job_id__in=job_ids).select_related("seller")
        self.bought = {row.job_id: row for row in bought}
        self.records = {row.purchase_id: row for row in SellerRecord.objects.filter(purchase__in=self.bought.values())}
        self.looks: dict[int, dict[str, int]] = defaultdict(dict)
        looks = FaceLook.objects.filter(walk__job_id__in=job_ids, walk__kind=WalkKind.ARRIVAL)
        for job_id, face, pk in looks.values_list("walk__job_id", "face", "pk"):
            self.looks[job_id][face] = pk
        standing = Photo.objects.filter(job_id__in=job_ids, struck=False, corrected_by__isnull=True)
        self.photos = _counts(standing.values_list("job_id", "purpose"))
        self.nothings = set(Nothing.objects.filter(job_id__in=job_ids).values_list("job_id", "what"))
        self.loose = set(LoosePart.objects.filter(job_id__in=job_ids).values_list("job_id", flat=True))
        self.found = set(Finding.objects.filter(job_id__in=job_ids).values_list("job_id", flat=True))
        checks = RecallCheck.objects.filter(job_id__in=job_ids).order_by("looked_on", "pk")
        self.recalls = {check.job_id: check for check in checks}

    def facts(self, job: Job) -> IntakeFacts:
        """Return the facts of one job from what was read."""
        bought, seen = self.bought.get(job.pk), self.looks[job.pk]
        recall = self.recalls.get(job.pk)
        wants, warns = self._record(bought)
        said = bool(bought and bought.said) or (job.pk, NothingOf.SAID) in self.nothings
        found = job.pk in self.found or bool(job.complaint) or (job.pk, NothingOf.FOUND) in self.nothings
        return IntakeFacts(
            was_bought=job.kind == JobKind.REFURBISH,
            has_purchase=bought is not None,
            has_seller=bool(bought and bought.seller_id),
            has_date=bool(bought and bought.acquired_on),
            has_place=job.machine.place_id is not None,
            has_serial=bool(job.machine.serial),
            serial_unreadable=job.machine.serial_unreadable,
            plate_photos=self.photos[job.pk, PhotoFor.PLATE],
            arrival_photos=self.photos[job.pk, PhotoFor.ARRIVAL],
            faces_unseen=tuple(face.value for face in zones.FACES if face.value not in seen),
            loose_counted=job.pk in self.loose or (job.pk, NothingOf.LOOSE) in self.nothings,
            found_answered=found,
            said_answered=said,
            recall=recall.found if recall else "",
            has_hold=bool(bought and bought.hold_words),
            record_wants=wants,
            record_warns=warns,
            begun=True,
            asserted=_asserted(job, bought, seen, recall) | {"found": found, "said": said},
        )

    def _record(self, bought: Purchase | None) -> tuple[str, str]:
        """Return what blocks and what only warns, each in a sentence or empty."""
        rules = wanted(self.shop, bought, self.records.get(bought.pk) if bought else None)
        blocks = " ".join(each.sentence for each in rules if each.rule.blocks)
        warns = "" if blocks else " ".join(each.sentence for each in rules if not each.rule.blocks)
        return blocks, warns


def _counts(rows: Any) -> Mapping[tuple[int, str], int]:
    counted: dict[tuple[int, str], int] = defaultdict(int)
    for row in rows:
        counted[row] += 1
    return counted


def _asserted(job: Job, bought: Purchase | None, seen: Mapping[str, int], recall: RecallCheck | None) -> dict[str, Any]:
    """Return what a sign-off rests on. Later findings, photos, parts or a new place do not take it back."""
    return {
        "model": [job.machine.notes_id],
        "serial": [job.machine.serial, job.machine.serial_unreadable],
        "purchase": [bought.pk, bought.seller_id, bought.price_minor, bought.acquired_on] if bought else [],
        "hold": [bought.hold_until_on, bought.hold_blocks_work] if bought else [],
        "faces": sorted(seen.values()),
        "recall": [recall.pk, recall.found] if recall else [],
    }


def _serial(f: IntakeFacts) -> str:
    if f.has_serial:
        return ""
    if not f.serial_unreadable:
        return "Type the serial number, or say that it cannot be read."
    return "" if f.plate_photos else "Add a photo of the maker's plate: the serial cannot be read."


def _purchase(f: IntakeFacts) -> str:
    if not f.was_bought:
        return ""
    return "" if f.has_purchase and f.has_seller else "Say who sold it and for how much."


def _when(f: IntakeFacts) -> str:
    if f.was_bought and not f.has_date:
        return "Say when it was bought."
    return "" if f.has_place else "Say where it stands."


def _faces(f: IntakeFacts) -> str:
    if not f.faces_unseen:
        return ""
    if len(f.faces_unseen) == len(zones.FACES):
        return "Walk round it: look at all six faces."
    return f"Look at {listed([Face(face).label for face in f.faces_unseen])}."


def _recall(f: IntakeFacts) -> str:
    if f.recall == RecallFound.RECALLED:
        return "It is recalled: do not power or sell it. Look again once the recall is settled."
    return "" if f.recall else "Look into the recall registers."


def _hold(f: IntakeFacts) -> str:
    return "Save the purchase again: its hold was not computed." if f.has_purchase and not f.has_hold else ""


def _said(f: IntakeFacts) -> str:
    return "" if f.said_answered or not f.was_bought else "Note what the seller said, or that they said nothing."


Check = Callable[[IntakeFacts], str]

# code, what the line is called, its check, the page and anchor where it is mended
CHECKS: tuple[tuple[str, str, Check, str, str], ...] = (
    ("serial", "Serial number", _serial, PAGE, "serial"),
    ("purchase", "Seller and price", _purchase, PAGE, "purchase"),
    ("when", "Date and place", _when, PAGE, "purchase"),
    ("record", "Seller's record", lambda f: f.record_wants, RECORD, "form"),
    ("hold", "Hold", _hold, PAGE, "purchase"),
    ("faces", "Six faces looked at", _faces, WALK, "faces"),
    ("photos", "Arrival photos", lambda f: "" if f.arrival_photos else "Add arrival photos.", PAGE, "photos"),
    ("loose", "Loose parts", lambda f: "" if f.loose_counted else "Count the loose parts.", PAGE, "loose-parts"),
    (
        "found",
        "What was found",
        lambda f: "" if f.found_answered else "Note what does not work, or that nothing was found.",
        PAGE,
        "found",
    ),
    ("said", "What the seller said", _said, PAGE, "said"),
    ("recall", "Recall registers", _recall, PAGE, "recall"),
)


def unmet(f: IntakeFacts) -> list[Unmet]:
    """Return what is missing, in the order of the page. Model notes are there as soon as a machine is."""
    missing = ((code, check(f), page, anchor) for code, _, check, page, anchor in CHECKS)
    return [Unmet(code, sentence, page, anchor) for code, sentence, page, anchor in missing if sentence]


STATION = Station(STATION_CODE, "Intake", PAGE, facts, unmet)
