"""From a sheet's content to what the template prints: glyphs, chart and QR drawn, lists cut into columns.

Shared by the paper (`handover.pdf`) and the preview on screen: only the addresses of the photos differ.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeVar

import segno
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from handover import drawings, fitting
from handover.fitting import Fit
from handover.saying import NBSP, say_date, say_short
from handover.sheet import BuyerAddress, Dial, DialKind, MarkShown, PrintSize, SettingsCard, SheetContent
from workshop.bench import chart

T = TypeVar("T")
MARKS_IN_A_ROW, MARKS_IN_A_LARGE_ROW = 3, 2
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


def prepare(content: SheetContent, photo_url: Callable[[str], str], fit: Fit | None = None) -> dict[str, Any]:
    """Return the template's context, laid out by `fit`."""
    fit = fit or fitting.first(content)
    marks = content.condition.marks if content.condition else ()
    placed = [_place(mark, photo_url) for mark in marks]
    settings = content.settings
    return {
        "sheet": content,
        "issued_on": say_date(content.issued_on),
        "issued_short": say_short(content.issued_on).replace(NBSP, " "),
        "fit": fit,
        "large": content.size is PrintSize.LARGE,
        "tag_long": len(content.kind_words) + len(content.serial) > TAG_LINE,
        "readings": content.readings + (content.more_readings if fit.more else ()),
        "dials": dials(settings),
        "figure_class": _figure_class(settings) if settings else "",
        "chart": _chart(content),
        "thirds": "thirds" if all((content.baskets, content.milk, content.after_use)) else "halves",
        "shown": _batches([mark for mark in placed if mark.photo], _marks_in_a_row(content)),
        "told": [mark for mark in placed if not mark.photo],
        "film_qr": qr(content.film) if content.film else "",
        "qr": qr(content.buyer_address) if content.buyer_address else "",
        "address_lines": _address_lines(content.buyer_address) if content.buyer_address else [],
        "received": _columns(content.received),
        "has_receipt": bool(content.received or content.signatures or content.defects),
    }


def dials(settings: SettingsCard | None) -> list[DrawnDial]:
    """Return the dials of a settings card, drawn."""
    return [_dial(dial) for dial in settings.dials] if settings else []


def _marks_in_a_row(content: SheetContent) -> int:
    return MARKS_IN_A_LARGE_ROW if content.size is PrintSize.LARGE else MARKS_IN_A_ROW


def _place(mark: MarkShown, photo_url: Callable[[str], str]) -> PlacedMark:
    return PlacedMark(mark.number, mark.words, photo_url(mark.photo_sha) if mark.photo_sha else None)


def _dial(dial: Dial) -> DrawnDial:
    partial = f"handover/_sheet_dial_{dial.kind}.html"
    return DrawnDial(
        partial,
        dial.label,
        dial.words,
        _("%(label)s: %(words)s") % {"label": dial.label, "words": dial.words},
        _glyph(dial),
    )


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
    title = _("QR code: %(address)s") % {"address": address.short}
    drawn = code.svg_inline(
        omitsize=True,
        border=QR_QUIET_MODULES,
        title=title,
        svgclass="qr",
        lineclass=None,
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
