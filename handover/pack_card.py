"""The pack card that lies in the box: what is in it, that it travels empty, what to do before the first switch-on.

It names the machine and the workshop only. The buyer stands on the carrier's label, and what the box is insured for on
no paper that travels with it.
"""

from dataclasses import dataclass

from django.template.loader import render_to_string
from django.utils import translation

from handover import compose as sheets
from handover import packing, pdf
from handover.models import Packed
from handover.sheet import NBSP, plain
from workshop.core.models import Job, Shop
from workshop.trade.safety import cautions

STYLES = ("sheet-page.css", "sheet.css", "pack-card.css")


@dataclass(frozen=True, slots=True)
class PackCard:
    """Everything the paper prints."""

    name: str
    kind: str
    serial: str
    shop: Shop
    paper: str
    weight: str
    two_people: bool
    heavy: bool
    holds_water: bool
    wraps: list[list[str]]
    carrier: str
    tracking: str
    language: str


def compose(job: Job, packed: Packed) -> PackCard:
    """Return the card of one box."""
    shop, notes = Shop.objects.get(pk=1), job.machine.notes
    lifting = cautions.lifting_trigger(packed.weight_kg)
    language = sheets.language_of(sheets.standing_reservation(job))
    with translation.override(language):
        weight = f"{plain(packed.weight_kg)}{NBSP}kg"
    return PackCard(
        name=job.machine.name,
        kind=str(notes),
        serial=job.machine.serial_words,
        shop=shop,
        paper=shop.paper,
        weight=weight,
        two_people=lifting is cautions.Trigger.TWO_PEOPLE,
        heavy=lifting is cautions.Trigger.HEAVY,
        holds_water=packing.holds_water(job),
        wraps=packed.wraps,
        carrier=packed.carrier,
        tracking=packed.tracking,
        language=language,
    )


def draw(card: PackCard) -> bytes:
    """Return the card as a tagged PDF.

    :raises PdfUnavailable: the system libraries are missing.
    """
    with translation.override(card.language):
        html = render_to_string("handover/pack_card_paper.html", {"card": card})
    return pdf.draw(html, STYLES, "", tagged=True)
