"""From a sheet's content to what the template prints: glyphs, chart and QR drawn, lists cut into columns.

Shared by the paper (`handover.pdf`) and the preview on screen: only the addresses of the photos differ.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

import segno
from django.utils.safestring import SafeString

from handover import drawings
from handover.sheet import BuyerAddress, Dial, DialKind, MarkShown, SettingsCard, SheetContent
from workshop.bench import chart

T = TypeVar("T")
MARKS_ON_PAGE_TWO = 3
MARKS_IN_A_ROW = 3
RECEIVED_COLUMNS = 2
QR_QUIET_MODULES = 4
KEY_LINE = 14  # signs of an address's key that fit beside the code; a phone number fits too
TAG_LINE = 46  # characters of kind and serial that fit the tag's one line at 12 pt


@dataclass(frozen=True, slots=True)
class DrawnDial:
    """A dial with its glyph and the words that stand for it when it is not seen."""

    partial: str
    label: str
    words: str
    title: str
    glyph: drawings.Glyph


@dataclass(frozen=True, slots=True)
class PlacedMark:
    """A mark with the address its photo is fetched from."""

    number: int
    words: str
    photo: str | None


def prepare(
    content: SheetContent, photo_url: Callable[[str], str], *, receipt_apart: bool, flows: bool = False
) -> dict[str, Any]:
    """Return the template's context; `receipt_apart` gives marks, received-with list and signatures their own page.

    `flows`: page 1 runs over, so what follows it begins where it ends.
    """
    marks = content.condition.marks if content.condition else ()
    placed = [_place(mark, photo_url) for mark in marks]
    settings = content.settings
    return {
        "sheet": content,
        "tag_long": len(content.kind_words) + len(content.serial) > TAG_LINE,
        "dials": dials(settings),
        "figure_class": _figure_class(settings) if settings else "",
        "chart": _chart(content),
        "thirds": "thirds" if all((content.baskets, content.milk, content.after_use)) else "halves",
        "shown": _batches([mark for mark in placed if mark.photo], MARKS_IN_A_ROW),
        "told": [mark for mark in placed if not mark.photo],
        "qr": qr(content.buyer_address) if content.buyer_address else "",
        "address_lines": _address_lines(content.buyer_address) if content.buyer_address else [],
        "received": _columns(content.received),
        "receipt_apart": receipt_apart,
        "flows": flows,
        "has_receipt": bool(content.received or content.signatures or content.defects),
    }


def dials(settings: SettingsCard | None) -> list[DrawnDial]:
    """Return the dials of a settings card, drawn."""
    return [_dial(dial) for dial in settings.dials] if settings else []


def wants_receipt_apart(content: SheetContent) -> bool:
    """Whether the marks alone are too many for page 2: more than three with photos."""
    marks = content.condition.marks if content.condition else ()
    return sum(1 for mark in marks if mark.photo_sha) > MARKS_ON_PAGE_TWO


def _place(mark: MarkShown, photo_url: Callable[[str], str]) -> PlacedMark:
    return PlacedMark(mark.number, mark.words, photo_url(mark.photo_sha) if mark.photo_sha else None)


def _dial(dial: Dial) -> DrawnDial:
    partial = f"handover/_sheet_dial_{dial.kind}.html"
    return DrawnDial(partial, dial.label, dial.words, f"{dial.label}: {dial.words}", _glyph(dial))


def _glyph(dial: Dial) -> drawings.Glyph:
    if dial.kind is DialKind.ZONE and dial.to_h is not None:
        return drawings.gauge_zone(dial.at_h, dial.to_h)
    return drawings.handle(dial.at_h) if dial.kind is DialKind.HANDLE else drawings.clock_dial(dial.at_h)


def _figure_class(settings: SettingsCard) -> str:
    """Figures with decimals or three digits take a smaller size, all of them alike."""
    fits = all(figure.value == int(figure.value) and figure.value < Decimal(100) for figure in settings.figures)
    return "figures-whole" if fits else "figures-fine"


def _chart(content: SheetContent) -> chart.Drawing | None:
    source = content.adjusting.chart if content.adjusting else None
    return chart.draw(source, chart.PAPER) if source else None


def qr(address: BuyerAddress) -> SafeString:
    """Return the QR of an address as inline SVG."""
    code = segno.make(address.full, error="q", micro=False, boost_error=False)
    drawn = code.svg_inline(
        omitsize=True, border=QR_QUIET_MODULES, title=f"QR code: {address.short}", svgclass="qr", lineclass=None
    )
    return SafeString(drawn)  # segno's own drawing; it escapes the title


def _address_lines(address: BuyerAddress) -> list[str]:
    """Return the address in lines to type from: where it is, then the key in pieces as long as the column allows."""
    place, slash, key = address.short.rpartition("/")
    pieces = [key[at : at + KEY_LINE] for at in range(0, len(key), KEY_LINE)]
    return [place + slash, *pieces] if slash else pieces


def _columns(items: tuple[str, ...]) -> list[Sequence[str]]:
    return _batches(items, max(-(-len(items) // RECEIVED_COLUMNS), 1))


def _batches(items: Sequence[T], size: int) -> list[Sequence[T]]:
    return [items[at : at + size] for at in range(0, len(items), size)]
