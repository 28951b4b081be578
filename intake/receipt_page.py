"""The purchase receipt, prepared to print: buyer, seller, goods, price, declaration, two lines to sign on.

It is the purchase invoice a dealer makes for a private seller: date, both names and addresses, description, total
with nothing added, no tax shown (source M-41). The stock number stands on it only for a registered seller.
"""

from dataclasses import dataclass

from intake import pages
from intake.models import Purchase, SellerRecord
from intake.seller_record import STANDARD_WORDS, margin_doubt
from intake.services import record_of
from intake.words import IdKind, SellerTax
from workshop.core.models import Shop
from workshop.core.templatetags.measures import day, money
from workshop.trade.money.rules import TaxRule
from workshop.trade.money.wording import purchase_wording


@dataclass(frozen=True, slots=True)
class Receipt:
    """Everything the paper prints, as (label, words) rows; rows without words are left out."""

    buyer: list[tuple[str, str]]
    seller: list[tuple[str, str]]
    goods: list[tuple[str, str]]
    marks: list[str]
    price: str
    tax_words: str
    declaration: str
    gaps: list[str]
    doubt: str


def receipt(purchase: Purchase, shop: Shop) -> Receipt:
    """Return the receipt of one purchase. What it still wants, and a doubt, are told on the screen, never printed."""
    record = record_of(purchase)
    doubt = margin_doubt(purchase, record)
    return Receipt(
        buyer=_filled(("Name", shop.name), ("Address", shop.address), ("Phone", shop.phone)),
        seller=_seller(purchase, record),
        goods=_goods(purchase, record),
        marks=[pages.mark_words(mark) for mark in pages.marks(purchase.job) if mark.withdrawn_at is None],
        price=money(purchase.price_minor, shop),
        tax_words="" if doubt else purchase_wording(TaxRule(purchase.tax_rule)),
        declaration=record.declared_words or STANDARD_WORDS,
        gaps=_gaps(purchase, shop),
        doubt=f"{doubt} The receipt leaves the sentence of the margin scheme out." if doubt else "",
    )


def _seller(purchase: Purchase, record: SellerRecord) -> list[tuple[str, str]]:
    seller = purchase.seller
    last = f", number ends {record.id_last}" if record.id_last else ""
    return _filled(
        ("Name", seller.name if seller else ""),
        ("Address", seller.address if seller else ""),
        ("Phone", seller.phone if seller else ""),
        ("Identity", f"{IdKind(record.id_kind).label}{last}" if record.id_kind else ""),
        ("For tax", SellerTax(record.tax_status).label if record.tax_status != SellerTax.UNKNOWN else ""),
    )


def _goods(purchase: Purchase, record: SellerRecord) -> list[tuple[str, str]]:
    machine = purchase.job.machine
    time = f", {record.bought_time:%H:%M}" if record.bought_time else ""
    return _filled(
        ("Machine", str(machine.notes)),
        ("Kind", machine.notes.get_kind_display()),
        ("Serial", machine.serial or ("cannot be read" if machine.serial_unreadable else "")),
        ("Our name for it", machine.name),
        ("Stock number", str(machine.stock_number) if record.tax_status == SellerTax.REGISTERED else ""),
        ("Bought on", f"{day(purchase.acquired_on)}{time}"),
        ("Bought at", purchase.bought_at),
        ("Paid by", purchase.payment_method),
        ("Taken in by", str(record.accepted_by or "")),
    )


def _filled(*rows: tuple[str, str]) -> list[tuple[str, str]]:
    return [(label, words) for label, words in rows if words]


def _gaps(purchase: Purchase, shop: Shop) -> list[str]:
    seller, machine = purchase.seller, purchase.job.machine
    gaps = [
        ("the seller's name", seller.name if seller else ""),
        ("the seller's address", seller.address if seller else ""),
        ("the workshop's address (Our workshop)", shop.address),
        ("the serial number", machine.serial or machine.serial_unreadable),
    ]
    return [words for words, value in gaps if not value]
