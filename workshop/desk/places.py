"""Rows of the pages over places: what stands where, what stands nowhere."""

from dataclasses import dataclass, field

from django.urls import reverse

from workshop.core.models import Job, Place


@dataclass(frozen=True, slots=True)
class Standing:
    """One machine at a place."""

    name: str
    url: str
    model: str
    tag_url: str


@dataclass(frozen=True, slots=True)
class Spot:
    """One place and what stands there; `crowded` when a spot for one holds more."""

    pk: int
    name: str
    url: str
    holds: str
    machines: list[Standing] = field(default_factory=list)
    crowded: bool = False


def places() -> tuple[list[Spot], list[Standing]]:
    """Return every place in use with what stands there, and the machines that stand nowhere: two queries."""
    at: dict[int | None, list[Standing]] = {}
    for job in Job.objects.open().for_page().order_by("machine__name", "pk"):
        at.setdefault(job.machine.place_id, []).append(_standing(job))
    rows = Place.objects.filter(retired=False).order_by("name", "pk")
    return [_spot(row, at.get(row.pk, [])) for row in rows], at.get(None, [])


def place(row: Place) -> Spot:
    """Return one place and what stands there."""
    jobs = Job.objects.open().for_page().filter(machine__place=row).order_by("machine__name", "pk")
    return _spot(row, [_standing(job) for job in jobs])


def _spot(row: Place, machines: list[Standing]) -> Spot:
    holds = "holds several" if row.holds_several else "a spot for one"
    crowded = not row.holds_several and len(machines) > 1
    return Spot(row.pk, row.name, reverse("place", args=[row.pk]), holds, machines, crowded)


def _standing(job: Job) -> Standing:
    machine = job.machine
    tag_url = reverse("intake:machine_tag", args=[machine.slug])
    return Standing(machine.name, machine.get_absolute_url(), str(machine.notes), tag_url)
