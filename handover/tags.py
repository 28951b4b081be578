"""Tags as PDF: one label, or sheets of labels; of machines, of places, and the tag that says "do not use"."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.safestring import SafeString

from handover import label_grid, pdf
from handover.label_grid import Grid, Label
from intake import tags
from workshop.core.models import Machine, Place, Shop

STYLES = ("tag-paper.css",)
LINES_MM = Decimal("8.6")  # place and serial under the name: two lines of 10 pt
LINE_PT, LINE_SMALL_PT, NARROW_MM = 10, 7, 30  # "Serial ends 31-08" stays on one line, seen on paper
AGAIN_MM = Decimal(8)  # the strip at the foot where the name stands again
BAND_WORDS = Decimal("0.8")  # of the band's height
FOUND_SHOWN = 2  # failed readings named on a do-not-use tag; Prove has the rest. House policy.


@dataclass(frozen=True, slots=True)
class Printed:
    """One label, ready to print. `again` is empty on a tag that stops; `stop` is its band."""

    name: str
    name_pt: int
    lines: tuple[str, ...]
    code: SafeString
    again_pt: int = 0
    stop: str = ""


def label_of(shop: Shop) -> Label:
    """Return the workshop's label."""
    return Label(shop.tag_width_mm, shop.tag_height_mm, shop.tag_gap_across_mm, shop.tag_gap_down_mm)


def machine_label(machine: Machine, label: Label) -> Printed:
    """Return a machine's tag: name twice, place, the end of its serial, the code of its page."""
    tag = tags.machine_tag(machine)
    serial = f"Serial ends {tag.serial_end}" if tag.serial_end else "No serial"
    return _printed(tag.name, (tag.place, serial), tag.address, label)


def place_label(place: Place, label: Label) -> Printed:
    """Return a place's tag: its name twice, and the code of what stands there."""
    address = tags.full(reverse("place_scanned", args=[place.pk]))
    return _printed(place.name, ("What stands here",), address, label)


def _printed(name: str, lines: tuple[str, ...], address: str, label: Label) -> Printed:
    room = label.height_mm - 2 * label_grid.PAD_MM
    most = label.name_pt
    first = label_grid.fit(name, most_pt=most, width=label.words_mm, height=room - AGAIN_MM - LINES_MM)
    below = max(first.height_mm + LINES_MM, label.code_mm)
    again = label_grid.fit(name, most_pt=most, width=label.live_mm, height=room - below)
    return Printed(name, first.size_pt, lines, tags.code(address, border=0), again_pt=again.size_pt)


def stop_label(machine: Machine, failed: Sequence[str], label: Label) -> Printed:
    """Return the tag of a machine that may not be used, with what failed."""
    tag = tags.machine_tag(machine)
    room = label.height_mm - 2 * label_grid.PAD_MM - label.band_mm - LINES_MM
    first = label_grid.fit(tag.name, most_pt=label.name_pt, width=label.words_mm, height=room)
    more = f"and {len(failed) - FOUND_SHOWN} more" if len(failed) > FOUND_SHOWN else ""
    lines = tuple(filter(None, (*failed[:FOUND_SHOWN], more)))
    return Printed(tag.name, first.size_pt, lines, tags.code(tag.address, border=0), stop="Do not use")


def one(printed: Printed, label: Label) -> bytes:
    """Return a PDF of one page: the label itself.

    :raises PdfUnavailable: the system libraries are missing.
    """
    size = f"{label.width_mm}mm {label.height_mm}mm"
    return _drawn(printed.name, [[(1, printed)]], size, label, [(Decimal(0), Decimal(0))], lines=False)


def sheets(printed: Sequence[Printed], grid: Grid, *, first: int, lines: bool) -> bytes:
    """Return a PDF of sheets of labels, from the `first` free label on (counted from 1 along the rows).

    `lines`: thin lines round each label, to cut along on plain paper.
    :raises PdfUnavailable: the system libraries are missing.
    """
    width, height = label_grid.PAPERS_MM[grid.paper]
    placed = [divmod(first - 1 + number, grid.holds) for number in range(len(printed))]
    pages: list[list[tuple[int, Printed]]] = [[] for _ in range(placed[-1][0] + 1 if placed else 0)]
    for (page, spot), each in zip(placed, printed, strict=True):
        pages[page].append((spot + 1, each))
    return _drawn("Tags", pages, f"{width}mm {height}mm", grid.label, list(grid.spots()), lines=lines)


def _drawn(
    title: str,
    pages: list[list[tuple[int, Printed]]],
    size: str,
    label: Label,
    spots: Sequence[tuple[Decimal, Decimal]],
    *,
    lines: bool,
) -> bytes:
    html = render_to_string("handover/tags_paper.html", {"title": title, "pages": pages, "lines": lines})
    return pdf.draw(html, STYLES, _measures(size, label, spots))


def _measures(size: str, label: Label, spots: Sequence[tuple[Decimal, Decimal]]) -> str:
    """Return the measures of this paper as CSS: they come from the workshop, so no file can hold them."""
    width, height = size.split()
    band = label.band_mm
    below = band + label_grid.PAD_MM
    rules = [
        f"@page {{ size: {size}; margin: 0 }}",
        f".page {{ width: {width}; height: {height} }}",
        f".label {{ width: {label.width_mm}mm; height: {label.height_mm}mm }}",
        f".code, .code svg {{ width: {label.code_mm}mm; height: {label.code_mm}mm }}",
        f".words {{ width: {label.words_mm}mm; max-height: {label.height_mm - label_grid.PAD_MM}mm }}",
        f".band {{ border-top-width: {band}mm }}",
        f".band span {{ top: -{band}mm; line-height: {band}mm; font-size: {band * BAND_WORDS}mm }}",
        f".stops .code {{ top: {below}mm }}",
        f".stops .words {{ top: {below}mm; max-height: {label.height_mm - below}mm }}",
        f".line {{ font-size: {LINE_PT if label.words_mm > NARROW_MM else LINE_SMALL_PT}pt }}",
        *(f".at-{n} {{ left: {left}mm; top: {top}mm }}" for n, (left, top) in enumerate(spots, start=1)),
        *(f".pt-{n} {{ font-size: {n}pt }}" for n in range(label_grid.NAME_LEAST_PT, label.name_pt + 1)),
    ]
    return "\n".join(rules)
