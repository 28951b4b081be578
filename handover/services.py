"""Writers of handing over: reservations, what was told, what was received, sheets, the act itself."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from handover import (
    buyer_links,
    care_dates,
    care_file,
    compose,
    distance,
    found,
    goods,
    messages,
    pdf,
    record,
    record_file,
    stations,
    store,
)
from handover.models import HandedOver, MachineRecord, NewSince, Received, Reservation, Sheet, Told
from handover.outdated import outdated
from handover.sheet import PrintSize, SheetContent
from handover.words import BuyerHas, CoffeeKind, GoesBy, Language, SoldHow
from intake import services as intake
from intake.services.guard import refuse_sale_on_hold
from workshop.core import acts, services
from workshop.core import stations as core_stations
from workshop.core.acts import Act, Refused, Stale
from workshop.core.models import Job, JournalEntry, Person
from workshop.core.words import Area, ClosedAs, JobKind
from workshop.pricing import balances
from workshop.pricing import services as pricing
from workshop.trade.care.spans import add_months

YEARS_AHEAD = 10  # a day agreed further away is a slip of the finger. House policy.
TRIES = 3  # another sheet may take the number while this one is drawn; it is then drawn again


@dataclass(frozen=True, slots=True)
class NewReservation:
    """What was agreed with a buyer."""

    buyer_name: str
    buyer_phone: str
    price_minor: int
    collect_on: date | None
    agreed: str
    drinks_per_day: Decimal
    milk_drinks_per_day: Decimal
    water: str
    hardness_mg_l: Decimal | None
    has_scale: str
    has_grinder: str = BuyerHas.UNKNOWN
    coffee_kind: str = CoffeeKind.UNKNOWN
    strip_fields: int | None = None
    language: str = Language.EN
    sold_how: str = SoldHow.PERSON
    goes_by: str = GoesBy.COLLECTED


def reserve(act: Act, job: Job, new: NewReservation) -> JournalEntry:
    """Reserve a machine. :raises Refused: before the buyer was told, on hold, or when it is reserved already."""
    with acts.once(act):
        _refuse_ended(job)
        if job.kind == JobKind.CAME_BACK:
            raise Refused(balances.yours_again(job) or "It came back: it belongs to its buyer.")
        if Reservation.objects.filter(job=job, cancelled_at__isnull=True).exists():
            raise Refused("It is reserved already. Cancel that reservation first.")
        refuse_sale_on_hold(act, job)
        _refuse_day(act, new.collect_on)
        if missing := stations.not_told(job):
            raise Refused(missing)
        buyer = buyer_named(new.buyer_name, new.buyer_phone)
        sale = pricing.agree_sale(act, job, buyer, new.price_minor, act.day)
        row = Reservation.objects.create(
            job=job,
            sale=sale,
            buyer=buyer,
            collect_on=new.collect_on,
            agreed=new.agreed,
            drinks_per_day=new.drinks_per_day,
            milk_drinks_per_day=new.milk_drinks_per_day,
            water=new.water,
            hardness_mg_l=new.hardness_mg_l,
            strip_fields=new.strip_fields,
            has_scale=new.has_scale,
            has_grinder=new.has_grinder,
            coffee_kind=new.coffee_kind,
            language=new.language,
            sold_how=new.sold_how,
            goes_by=new.goes_by,
            made_at=act.at,
            made_by=act.by,
        )
        found.refresh(job)
        return acts.write(act, "reserve", "Reserved it for a buyer", row, job=job, area=Area.MONEY)


def _refuse_ended(job: Job) -> None:
    """Refuse to change what was said and agreed once the machine has gone."""
    if words := stations.ended(job):
        raise Refused(words)


def buyer_named(name: str, phone: str) -> Person:
    """Return the person of that name and phone, adding them when they are new."""
    known = Person.objects.filter(name__iexact=name, phone=phone).order_by("pk").first() if phone else None
    return known or Person.objects.create(name=name, phone=phone)


def _refuse_day(act: Act, collect_on: date | None) -> None:
    if collect_on is None:
        return
    if collect_on < act.day:
        raise Refused("This day has passed. Type the day they collect it.", field="collect_on")
    if collect_on > add_months(act.day, 12 * YEARS_AHEAD):
        raise Refused(f"This day is more than {YEARS_AHEAD} years away. Check the year.", field="collect_on")


def change_reservation(act: Act, row: Reservation, version: int, values: dict[str, Any]) -> JournalEntry:
    """Change the day, the words or the use. :raises Stale: when it was changed. :raises Refused: once it has gone."""
    with acts.once(act):
        _refuse_ended(row.job)
        if values.get("collect_on") != row.collect_on:
            _refuse_day(act, values.get("collect_on"))
        before, after = acts.change(row, version, values)
        return acts.write(
            act,
            "change_reservation",
            "Changed the reservation",
            row,
            job=row.job,
            area=Area.MONEY,
            before=before,
            after=after,
        )


def cancel_reservation(act: Act, row: Reservation) -> JournalEntry:
    """Cancel a reservation; its payments stay in the book until they are given back.

    :raises Refused: when it was cancelled already, or the machine has gone
    """
    with acts.once(act):
        _refuse_ended(row.job)
        if row.cancelled_at is not None:
            raise Refused("It was cancelled already.")
        row.cancelled_at, row.cancelled_by = act.at, act.by
        row.save(update_fields=["cancelled_at", "cancelled_by"])
        pricing.cancel_sale(act, row.sale)
        found.refresh(row.job)
        return acts.write(act, "cancel_reservation", "Cancelled the reservation", row, job=row.job, area=Area.MONEY)


def tell(act: Act, job: Job, *, how: str) -> JournalEntry:
    """Record that the buyer was told every mark, what was left and what was not tested, before agreeing.

    :raises Refused: once the machine has gone, or while nobody has looked it over
    """
    with acts.once(act):
        _refuse_ended(job)
        telling = compose.to_tell(job)
        if telling.nothing_known:
            raise Refused(telling.nothing_known)
        row = Told.objects.create(
            job=job,
            how=how,
            marks=telling.marks,
            left=telling.left,
            not_tested=telling.not_tested,
            by=act.by,
            at=act.at,
        )
        return acts.write(act, "tell", f"Told the buyer: {row}", row, job=job)


def answer_new_since(act: Act, job: Job, *, words: str) -> JournalEntry:
    """Answer "anything new since?": what is new is left as it is, so it is told, agreed and printed."""
    with acts.once(act):
        _refuse_ended(job)
        if not words and messages.dangers(job.machine):
            raise Refused(stations.UNANSWERED)
        if words:
            intake.left_as_new(act, job, words, "seen when it was handed over")
        row = NewSince.objects.create(job=job, words=words, by=act.by, at=act.at)
        return acts.write(act, "new_since", f"New since it was told: {row}", row, job=job)


def receive(act: Act, job: Job, *, lines: list[str]) -> JournalEntry:
    """Keep the list of what goes with the machine. :raises Refused: when it is empty, or the machine has gone."""
    with acts.once(act):
        _refuse_ended(job)
        if not lines:
            raise Refused("The list is empty. Name at least one thing, or write: the machine alone.", field="lines")
        row = Received.objects.create(job=job, lines=lines, offered=goods.of(job), by=act.by, at=act.at)
        return acts.write(
            act, "receive", f"It goes with {len(lines)} {'thing' if len(lines) == 1 else 'things'}", row, job=job
        )


def issue(
    act: Act,
    job: Job,
    *,
    photo: Callable[[str], bytes],
    paper: str | None = None,
    language: str = "",
    size: str = PrintSize.USUAL,
) -> JournalEntry:
    """Issue the next sheet: drawn outside the transaction, numbered and stored inside, never changed after.

    Without a `language` it speaks the buyer's own, as the reservation knows it.

    :raises Refused: when a value is missing or the PDF's libraries are. :raises Stale: when numbers kept moving.
    """
    if missing := stations.unissuable(job):
        raise Refused(*missing)
    for _ in range(TRIES):
        token = buyer_links.token_for(job)
        content = compose.sheet(
            job,
            number=compose.next_number(),
            issued_on=act.day,
            paper=paper,
            token=token,
            language=language,
            size=size,
        )
        written = record.of(job, content)
        drawn = _draw(content, photo, written)
        try:
            return _keep(act, job, content, drawn, token, written)
        except Stale:
            continue
    raise Stale({compose.SHEET_COUNTER: "other sheets were issued at the same moment. Press again."})


def _draw(content: SheetContent, photo: Callable[[str], bytes], written: str = "") -> pdf.Rendered:
    files = (*care_file.attached(content), *record_file.attached(written, content.language))
    try:
        return pdf.render(content, photo=photo, attached=files)
    except (pdf.PdfUnavailable, pdf.AssetRefused) as missing:
        raise Refused(str(missing)) from missing


def _keep(act: Act, job: Job, content: SheetContent, drawn: pdf.Rendered, token: str, written: str) -> JournalEntry:
    store.keep(drawn.sha256, drawn.pdf)
    with acts.once(act):
        if missing := stations.unissuable(job):  # again: the machine may have changed while the sheet was drawn
            raise Refused(*missing)
        if services.next_number(compose.SHEET_COUNTER) != content.number:
            raise Stale({compose.SHEET_COUNTER: "another sheet took this number."})
        row = Sheet.objects.create(
            job=job,
            number=content.number,
            content=content.to_json(),
            sha256=drawn.sha256,
            pages=drawn.pages,
            dated=compose.is_dated(job),
            by=act.by,
            at=act.at,
        )
        MachineRecord.objects.create(sheet=row, text=written)
        buyer_links.show(act, row, token, content.care_from or act.day)
        if job.first_job is not None:  # it came back: the care of its buyer goes by the new sheet
            care_dates.lay(job.first_job, row)
        return acts.write(act, "issue_sheet", f"Issued sheet {row.number}", row, job=job, after={"sha256": row.sha256})


def hand_over(act: Act, job: Job, *, owed_words: str) -> JournalEntry:
    """Hand the machine over: the job ends as sold, proved. :raises Refused: with what still blocks."""
    with acts.once(act):
        now = core_stations.one(stations.STATION, job.pk)
        sheet = Sheet.objects.filter(job=job).order_by("-number").first()
        old = outdated(job, sheet) if sheet else ""
        blocks = stations.blocks(job, now, act.day, owed_words=owed_words, outdated=old)
        if blocks or sheet is None:
            raise Refused(*blocks)
        row = HandedOver.objects.create(job=job, sheet=sheet, owed_words=owed_words, by=act.by, at=act.at)
        buyer_links.last_from(job, act.day)
        care_dates.lay(job, sheet)
        services.close_job(act, job, ClosedAs.SOLD_PROVED)
        return acts.write(act, "hand_over", f"Handed {job.machine} over", row, job=job)


def take_back_hand_over(act: Act, row: HandedOver) -> JournalEntry:
    """Undo handing over, until the next day, with the arrival noted since.

    :raises Refused: later, when undone already, or while the buyer's word that they cancel stands
    """
    with acts.once(act):
        if row.withdrawn_at is not None:
            raise Refused("This was undone already.")
        job = row.job
        services.reopen_job(act, job, row.at)
        row.withdrawn_at, row.withdrawn_by = act.at, act.by
        row.save(update_fields=["withdrawn_at", "withdrawn_by"])
        care_dates.take_up(job)
        distance.not_gone_after_all(act, compose.standing_reservation(job))
        return acts.write(act, "take_back_hand_over", f"{job.machine} is not handed over after all", row, job=job)
