"""Steps every machine goes through at Intake."""

from collections.abc import Iterable
from decimal import Decimal as D
from typing import Any

from demo_fixtures import pictures
from demo_fixtures.demo import Demo, sign
from intake import services as intake
from intake.photos import Kept, take_in
from intake.registers import registers_for
from intake.words import NothingOf, PhotoFor, RecallFound
from workshop.bench.services import spot
from workshop.core.models import Job, ModelNotes, Shop
from workshop.trade.condition.scoring import Face, MarkKind, Shows

FACES = tuple(Face)


def log(
    demo: Demo, days_ago: int, model: str, price_minor: int, seed: int, *, drawn: tuple[str, ...] = (), **more: Any
) -> Job:
    """Log a machine with photos of its six faces and look all of them over. Chance draws nobody in the demo."""
    act = demo.act(days_ago, demo.owner)
    notes = ModelNotes.objects.get(model=model)
    new = intake.NewMachine(
        notes=notes,
        price_minor=price_minor,
        acquired_on=act.at.date(),
        payment_method="cash",
        **{"bought_at": "at the seller's door", **more},
    )
    entry = intake.log_machine(act, Shop.objects.get(pk=1), new)
    assert entry.job is not None  # noqa: S101 (a machine's first entry speaks of its job)
    spot.keep(act, entry.job, drawn)
    for face in FACES:
        kept = [take_in(pictures.face(face.name, seed))]
        intake.add_photos(demo.act(days_ago, demo.owner), entry.job, kept, face=face.value, purpose=PhotoFor.ARRIVAL)
    return Job.objects.for_page().get(pk=entry.job.pk)


def mark(demo: Demo, days_ago: float, job: Job, face: Face, zone: str, kind: MarkKind, mm: str, shows: Shows) -> None:
    photo: Kept = take_in(pictures.flaw(kind.name, job.pk * 5 + int(D(mm))))
    new = intake.NewMark(face=face, zone=zone, kind=kind, size_mm=D(mm), shows=shows, photo=photo)
    intake.add_mark(demo.act(days_ago), job, new)


def finish_intake(demo: Demo, days_ago: float, job: Job, *, findings: Iterable[str] = ()) -> None:
    intake.look_at_all_faces(demo.act(days_ago), job)
    intake.loose_parts_as_usual(demo.act(days_ago), job)
    for words in findings:
        intake.add_finding(demo.act(days_ago), job, words)
    if not job.findings.exists():
        intake.answer_nothing(demo.act(days_ago), job, NothingOf.FOUND)
    if not job.purchase.said:
        intake.answer_nothing(demo.act(days_ago), job, NothingOf.SAID)
    names = [register.label for register in registers_for("GB")]
    intake.record_recall_check(
        demo.act(days_ago), job, looked_on=None, registers=names, found=RecallFound.NOTHING, note=""
    )
    sign(demo, days_ago, job, "INTAKE")
