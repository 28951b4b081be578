"""What the Intake page prints, prepared from a job's rows."""

from dataclasses import dataclass
from typing import Any

from django.urls import reverse
from django.utils import timezone

from intake import lot_page, pages, sameness
from intake.models import Nothing, Purchase, RecallCheck
from intake.pages_photos import PhotoRow, photo_rows, seller_photo_rows
from intake.registers import Register, registers_for
from intake.services import lot_mates
from intake.services.arrival import usual_parts
from intake.stations import CHECKS, RECORD, STATION, IntakeFacts
from intake.words import NothingOf, RecallFound
from workshop.core import stations
from workshop.core.models import Job, Machine, Shop, Signoff, User
from workshop.core.templatetags.measures import day, money


@dataclass(frozen=True, slots=True)
class Line:
    """One line of "Intake is finished when"."""

    what: str
    glyph: str
    state: str
    found: str
    url: str


@dataclass(frozen=True, slots=True)
class IntakePage:
    """Everything the page prints but its forms."""

    facts: IntakeFacts
    lines: list[Line]
    signoff: Signoff | None
    changed: bool
    purchase: Purchase | None
    bought: list[tuple[str, str]]
    hold_words: str
    hold_source: str
    hold_allows: str
    lot_words: str
    earlier: list[sameness.Earlier]
    lot_count: int  # machines of its lot with the same seller, this one among them; 0 when it stands alone
    same_serial: list[str]
    nothings: set[str]
    findings: list[pages.FindingRow]
    as_found_words: str
    seen_running: list[pages.SeenRow]
    loose_parts: list[pages.LoosePartRow]
    usual_left: int
    registers: tuple[Register, ...]
    recalls: list[dict[str, Any]]
    photos: list[PhotoRow]
    seller_photos: list[PhotoRow]


def intake_page(job: Job, shop: Shop, viewer: User) -> IntakePage:
    """Return the page's rows. A person who may not see prices gets no price."""
    shows_money = viewer.is_owner
    facts = STATION.facts([job.pk])[job.pk]
    signed = Signoff.objects.filter(job=job, station=STATION.code, withdrawn_at__isnull=True).select_related("by")
    signoff = signed.first()
    purchase = Purchase.objects.filter(job=job).select_related("seller", "lot").first()
    owners = shop if shows_money else None
    checks = list(RecallCheck.objects.filter(job=job).select_related("by").order_by("-looked_on", "-pk"))
    loose = pages.loose_parts(job)
    counted = {row.words.lower() for row in loose}
    return IntakePage(
        facts=facts,
        lines=_lines(job, facts, purchase, checks, owners),
        signoff=signoff,
        changed=stations.standing(STATION, facts, signoff).changed,
        purchase=purchase,
        bought=_bought(purchase, owners),
        hold_words=purchase.hold_words if purchase else "",
        hold_source=purchase.hold_source if purchase else "",
        hold_allows=pages.hold_allows(purchase, timezone.localdate()) if purchase else "",
        lot_words=lot_page.rule_words(purchase.lot.rule) if purchase and purchase.lot and shows_money else "",
        earlier=sameness.earlier(purchase, shop) if purchase and shows_money else [],
        lot_count=_lot_count(purchase) if purchase and shows_money else 0,
        same_serial=_same_serial(job.machine),
        nothings=set(Nothing.objects.filter(job=job).values_list("what", flat=True)),
        findings=pages.findings(job),
        as_found_words=pages.as_found_words(job),
        seen_running=pages.seen_running(job),
        loose_parts=loose,
        usual_left=sum(w.lower() not in counted for w, _ in usual_parts(job.machine.notes.loose_parts)),
        registers=registers_for(shop.country),
        recalls=[_recall(check) for check in checks],
        photos=photo_rows(job, viewer),
        seller_photos=seller_photo_rows(job),
    )


def _lines(
    job: Job, facts: IntakeFacts, purchase: Purchase | None, checks: list[RecallCheck], shop: Shop | None
) -> list[Line]:
    found = _found(job, facts, purchase, checks, shop)
    rows = [Line("Model notes", "full", "there", str(job.machine.notes), "")]
    for code, what, check, page, anchor in CHECKS:
        sentence = check(facts)
        glyph, state = ("open", "to do") if sentence else ("full", "done")
        url = f"{reverse(page, args=[job.machine.slug])}#{anchor}"
        if page == RECORD and sentence and shop is None:
            sentence, url = "The owner keeps the seller's record: it still wants something.", ""
        rows.append(Line(what, glyph, state, sentence or found[code], url if sentence else ""))
    return rows


def _found(
    job: Job, facts: IntakeFacts, purchase: Purchase | None, checks: list[RecallCheck], shop: Shop | None
) -> dict[str, str]:
    """Return what was found for each line that is met."""
    bought_on = f"{day(purchase.acquired_on)}, " if purchase else ""
    seller = str(purchase.seller or "") if purchase else "came back: not bought again"
    price = f"{money(purchase.price_minor, shop)}, " if purchase and shop else ""
    latest = checks[0] if checks else None
    return {
        "serial": job.machine.serial or "cannot be read, plate photographed",
        "purchase": f"{price}{seller}",
        "when": f"{bought_on}stands at {job.machine.place}",
        "record": _record(facts, purchase, is_owner=shop is not None),
        "hold": _hold(purchase),
        "faces": "all six",
        "photos": "1 photo" if facts.arrival_photos == 1 else f"{facts.arrival_photos} photos",
        "loose": "counted",
        "found": "noted",
        "said": "noted",
        "recall": f"{RecallFound(latest.found).label.lower()}, {day(latest.looked_on)}" if latest else "",
    }


def _record(facts: IntakeFacts, purchase: Purchase | None, *, is_owner: bool) -> str:
    if purchase is None:
        return "came back: nothing asked"
    return (facts.record_warns or "kept") if is_owner else "kept by the owner"


def _hold(purchase: Purchase | None) -> str:
    if purchase is None or purchase.hold_until_on is None:
        return "none known for this place"
    what = "do not work on it or sell it" if purchase.hold_blocks_work else "do not sell it"
    return f"{what} before {day(purchase.hold_until_on)}"


def _bought(purchase: Purchase | None, shop: Shop | None) -> list[tuple[str, str]]:
    if purchase is None:
        return []
    rows = [
        ("From", str(purchase.seller or "")),
        ("Phone", purchase.seller.phone if purchase.seller and shop else ""),
        ("Paid", money(purchase.price_minor, shop) if shop else ""),
        ("By", purchase.payment_method),
        ("On", day(purchase.acquired_on)),
        ("Bought at", purchase.bought_at),
        ("Hold", _hold(purchase)),
    ]
    return [(label, value) for label, value in rows if value]


def _lot_count(purchase: Purchase) -> int:
    mates = len(lot_mates(purchase))
    return mates + 1 if mates else 0


def _same_serial(machine: Machine) -> list[str]:
    """Return other machines of that model and serial: one unit logged twice, or a plate misread."""
    same = sameness.bearers(machine.notes, machine.serial).exclude(pk=machine.pk)
    return list(same.values_list("name", flat=True)[:3])


def _recall(check: RecallCheck) -> dict[str, Any]:
    recalled = check.found == RecallFound.RECALLED
    return {
        "glyph": "stop" if recalled else "full",
        "words": RecallFound(check.found).label,
        "when": day(check.looked_on),
        "by": str(check.by),
        "registers": check.registers.split("\n"),
        "note": check.note,
    }


def nothing_label(what: str) -> str:
    """Return the words of an answer that is "nothing"."""
    return NothingOf(what).label
