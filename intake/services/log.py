"""The writer that opens a job: a machine, its name, its purchase and its first walk in one act."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from intake import found, sameness
from intake.models import Purchase, Walk
from intake.photos import Kept
from intake.services import photos, purchase
from intake.words import PhotoFor, WalkKind
from workshop.core import acts, names, search
from workshop.core.acts import Act, Odd, Refused
from workshop.core.models import Job, JournalEntry, Machine, ModelNotes, Shop
from workshop.core.services import new_notes, next_number, place_for
from workshop.core.words import Area
from workshop.trade.condition.scoring import RULE_VERSION

FROM_NOTES = ("volts", "watts", "cord_length_m", "cord_section_mm2", "fuse_a", "appliance_class")


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMachine:
    """What is known of a machine on the day it comes in. Notes, or maker, model and kind of new ones."""

    notes: ModelNotes | None = None
    maker: str = ""
    model: str = ""
    kind: str = ""
    price_minor: int
    seller_name: str
    seller_phone: str = ""
    place: str
    sure: str = ""  # what its person said yes to at a second press: another machine stands at that place
    acquired_on: date | None = None
    bought_at: str = ""
    payment_method: str = ""
    said: str = ""
    serial: str = ""
    serial_unreadable: bool = False
    volts: int | None = None
    watts: int | None = None
    cord_length_m: Decimal | None = None
    cord_section_mm2: Decimal | None = None
    photos: tuple[Kept, ...] = ()


def log_machine(act: Act, shop: Shop, new: NewMachine) -> JournalEntry:
    """Open a machine's first job. The entry speaks of the job; its machine carries the name drawn.

    What the plate or cord did not tell is taken from the model notes.
    :raises Refused: a date in the future, neither notes nor maker, model and kind, or with a question about the place
    :raises Odd: when another machine of the model bears the serial, until a second press says that it is a second one
    """
    with acts.once(act):
        second = _second_of_its_serial(new)
        with acts.beside(second):
            job = rows_of_machine(act, shop, replace(new, sure=new.sure.removeprefix(second)))
        machine = job.machine
        after = {"machine": machine.name, "stock_number": machine.stock_number, "price_minor": new.price_minor}
        return acts.write(act, "log_machine", f"Logged {machine}", job, job=job, area=Area.MONEY, after=after)


def _second_of_its_serial(new: NewMachine) -> str:
    """Return what the yes to a serial met twice is known by; nothing where no machine bears it. :raises Odd: unsaid"""
    other = sameness.bearer(new.notes, new.serial)
    if other is None:
        return ""
    about = f"serial of {other.pk}; "
    if not new.sure.startswith(about):
        words = f"{other} bears this serial. Is it that one come back, or a second one? For a second one press again."
        raise Odd(words, about=about, field="serial")
    return about


def rows_of_machine(act: Act, shop: Shop, new: NewMachine) -> Job:
    """Write the rows of a machine that comes in and return its job; call it inside an act that writes the entry.

    :raises Refused: as `log_machine`
    """
    job = Job.objects.create(machine=_machine(new), opened_at=act.at)
    _purchase(act, shop, job, new)
    Walk.objects.create(job=job, kind=WalkKind.ARRIVAL, by=act.by, at=act.at, rule_version=RULE_VERSION)
    photos.keep_rows(act, job, new.photos, face="", purpose=PhotoFor.ARRIVAL)
    search.refresh_machine(job.machine)
    found.refresh(job)
    return job


def _machine(new: NewMachine) -> Machine:
    notes = new.notes or _new_notes(new)
    number = next_number("stock")
    name = names.name_for(number)
    return Machine.objects.create(
        name=name,
        slug=names.slug_for(name),
        stock_number=number,
        notes=notes,
        serial=new.serial,
        serial_unreadable=new.serial_unreadable and not new.serial,
        place=place_for(None, new.place, sure=new.sure),
        **_mains(new, notes),
    )


def _mains(new: NewMachine, notes: ModelNotes) -> dict[str, Any]:
    typed = {column: getattr(new, column, None) for column in FROM_NOTES}
    return {column: getattr(notes, column) if value is None else value for column, value in typed.items()}


def _new_notes(new: NewMachine) -> ModelNotes:
    if not (new.maker and new.model and new.kind):
        raise Refused("Choose a model, or type maker, model and kind of a new one.", field="notes")
    return new_notes(maker=new.maker, model=new.model, kind=new.kind)


def _purchase(act: Act, shop: Shop, job: Job, new: NewMachine) -> Purchase:
    acquired_on = new.acquired_on or act.day
    purchase.refuse_future(act, acquired_on)
    held = purchase.hold_columns(shop, acquired_on)
    if acquired_on < act.day and held["hold_until_on"] and not act.by.is_owner:
        raise Refused("A hold runs from this day: only the owner may log an earlier one.", field="acquired_on")
    return Purchase.objects.create(
        job=job,
        seller=purchase.seller_known_as(new.seller_name, new.seller_phone),
        price_minor=new.price_minor,
        acquired_on=acquired_on,
        bought_at=new.bought_at,
        payment_method=new.payment_method,
        said=new.said,
        tax_rule=shop.tax_rule,
        **held,
    )
