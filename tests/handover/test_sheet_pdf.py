"""The sheet as paper: text, tags, fonts, alt words, fit on both papers, and the same bytes every time."""

import gc
import hashlib
import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdf
import pypdfium2
import pytest
import zxingcpp
from django.conf import settings

from handover import pdf
from handover.sheet import CareRow, Paper, ReadingRow, Row, SheetContent, Step
from tests.handover import sheet_examples as examples

MM_PER_INCH = 25.4
LEFT_MM, LIVE_MM = 20, 175
FOOT_INK_MM = 10  # the foot line stands in the lowest 10 mm
BOTTOM_MM = {Paper.A4: 16, Paper.LETTER: 15}
LONG = "Siebträgerdichtungsauflageflächenreinigung"


@pytest.fixture(autouse=True)
def _no_warning(caplog: pytest.LogCaptureFixture) -> Any:
    """Anything the library grumbles about is a fault of the sheet: a lost rule, picture or font."""
    yield
    assert [record.getMessage() for record in caplog.records if record.name.startswith("weasyprint")] == []


@pytest.fixture(scope="module")
def drawn() -> Any:
    """Sheets drawn once for the whole module, by content."""
    kept: dict[str, pdf.Rendered] = {}

    def draw(content: SheetContent) -> pdf.Rendered:
        key = content.to_json()
        if key not in kept:
            kept[key] = pdf.render(content, photo=examples.photo)
        return kept[key]

    return draw


def read(sheet: pdf.Rendered) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(sheet.pdf))


def words_of(sheet: pdf.Rendered, page: int | None = None) -> str:
    pages = read(sheet).pages
    texts = [p.extract_text() for p in (pages if page is None else [pages[page]])]
    return " ".join(" ".join(texts).replace("\u200b", "").split())


def raster(sheet: pdf.Rendered, page: int, dpi: int) -> Any:
    return pypdfium2.PdfDocument(sheet.pdf)[page].render(scale=dpi / 72, grayscale=True).to_pil()


def elements(sheet: pdf.Rendered) -> list[Any]:
    """Every element of the tag tree, in reading order."""
    found = []

    def walk(node: Any) -> None:
        node = node.get_object()
        if isinstance(node, list):
            for child in node:
                walk(child)
        elif isinstance(node, dict):
            if "/S" in node:
                found.append(node)
            walk(node.get("/K", pypdf.generic.NullObject()))

    walk(read(sheet).trailer["/Root"]["/StructTreeRoot"]["/K"])
    return found


# --- what stands on it -----------------------------------------------------------------------------------


def test_everything_measured_is_printed_with_its_unit(drawn: Any) -> None:
    text = words_of(drawn(examples.heat_exchanger()))
    for words in (
        "serial 0456-22",
        "16.5 g coffee in",
        "26.5 s pump time",
        "Dose dial 2:30",
        "Grinder 12 (1 is finest)",
        "Earth path, plug to metal 0.139 ohm or less 0.09 ohm Ana, 12 May",
        "Marks you were shown: condition 9.0 of 10",
    ):
        assert text.count(words) == 1, words
    assert text.replace(" ", "").count("tramshed.example/s/7f3k9q") == 1


def test_each_section_and_row_is_printed_once(drawn: Any) -> None:
    # Floats that met a page's end were once drawn on both pages.
    for marks in (3, 12):
        text = words_of(drawn(examples.heat_exchanger(marks=marks)))
        for words in ("Your first coffee", "What is what", "Two-wall", "Empty the tray", "You received", "milk jug"):
            assert text.count(words) == 1, (marks, words)


def test_our_own_grinder_gives_no_number_to_copy(drawn: Any) -> None:
    text = words_of(drawn(examples.lever_valve()))
    card = text[text.index("Your settings") : text.index("Not right yet?")]
    assert "Grinder on our grinder" in card
    assert re.search("18 g ?coffee in 36 g ?in the cup 28 s ?pump time", card)
    assert '<svg class="shot-chart' not in drawn(examples.lever_valve()).html


def test_what_was_not_measured_leaves_no_blank(drawn: Any) -> None:
    bare = replace(
        examples.heat_exchanger(),
        settings=None,
        adjusting=None,
        milk=(),
        never=(),
        care=(),
        left=(),
        readings=(),
        more_readings=(),
        readings_note="",
        condition=None,
        warranty=(),
        buyer_address=None,
        received=(),
    )
    text = words_of(drawn(bare))
    heads = (
        "Your settings",
        "Not right yet?",
        "Milk",
        "Care,",
        "What we left",
        "What we measured",
        "Marks you",
        "Our warranty",
        "You received",
    )
    assert [head for head in heads if head in text] == []
    assert "None" not in text


def test_a_defect_is_signed_for_on_its_own_line(drawn: Any) -> None:
    text = words_of(drawn(examples.lever_valve()))
    assert "You were told: the hot-water tap drips one drop a minute. Buyer, told of this" in text
    assert "Not measured here: insulation at 250 V" in text


def test_words_from_people_cannot_become_markup(drawn: Any) -> None:
    sheet = drawn(replace(examples.heat_exchanger(), done=("<b>valve</b> & seal",)))
    assert "<b>valve</b> & seal" in words_of(sheet)


# --- tags, fonts, title ----------------------------------------------------------------------------------


def test_the_file_is_tagged_titled_and_in_its_language(drawn: Any) -> None:
    root = read(drawn(examples.heat_exchanger())).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] in (True, "true")
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] in (True, "true")
    assert read(drawn(examples.heat_exchanger())).metadata.title == "Maple Harbour: handover sheet 1"
    xmp = root["/Metadata"].get_data().decode()
    assert ('pdfaid:part="3"' in xmp, 'pdfaid:conformance="A"' in xmp) == (True, True)


def test_only_our_family_is_embedded(drawn: Any) -> None:
    names = set()
    for example in (examples.heat_exchanger(), examples.lever_valve(), examples.thermoblock()):
        for page in read(drawn(example)).pages:
            for font in page["/Resources"]["/Font"].values():
                below = font.get_object()["/DescendantFonts"][0].get_object()
                assert "/FontFile2" in below["/FontDescriptor"].get_object()
                names.add(str(below["/BaseFont"]).split("+")[1].removesuffix("-Bold").removesuffix("-Ultra"))
    assert names == {"Atkinson-Hyperlegible-Next"}


def test_every_glyph_of_a_language_with_accents_is_drawn(drawn: Any) -> None:
    # Two subset files under one family drew the wrong glyphs while the text layer stayed right: compare the ink.
    plain = raster(drawn(replace(examples.heat_exchanger(), name="Lodz prilis Grose")), 0, 150)
    marked = raster(drawn(replace(examples.heat_exchanger(), name="Łódź příliš Größe")), 0, 150)
    name = (200, 90, 700, 170)
    ink = [sum(255 - value for value in picture.crop(name).tobytes()) for picture in (plain, marked)]
    assert 1.0 < ink[1] / ink[0] < 1.25


def test_heads_run_in_order_and_become_bookmarks(drawn: Any) -> None:
    sheet = drawn(examples.heat_exchanger())
    top = read(sheet).outline
    assert top[0].title == "Maple Harbour"
    assert [item.title for item in top[1]] == [
        "Your first coffee",
        "Your settings",
        "Not right yet? Change one thing",
        "What is what",
        "Milk",
        "After each use",
        "What not to do",
        "Care, with your dates",
        "What we did",
        "What we left as it was",
        "What we measured",
        "Marks you were shown: condition 9.0 of 10",
        "Our warranty",
        "You received",
    ]


def test_every_picture_has_words(drawn: Any) -> None:
    alts = [node.get("/Alt") for node in elements(drawn(examples.heat_exchanger())) if node["/S"] == "/Figure"]
    assert alts == [
        "Dose dial: 2:30",
        "Handle: 6:30",
        "Gauge: 10 to 2",
        "Seconds against grinder: 10 gave 33 s, 12 gave 26.5 s, 15 gave 21 s, 18 gave 17.5 s. "
        "Aim here: 23 to 30 s. Yours: 12.",
        *(f"Photo of mark {at + 1}. {words}" for at, words in enumerate(examples.MARK_WORDS[:3])),
        "QR code: tramshed.example/s/7f3k9q",
    ]


def test_the_name_is_read_first_and_signatures_last(drawn: Any) -> None:
    tags = [str(node["/S"]) for node in elements(drawn(examples.heat_exchanger()))]
    heads = [tag for tag in tags if tag in ("/H1", "/H2")]
    assert heads == ["/H1", *["/H2"] * 14]
    assert tags.index("/H1") < tags.index("/L") < tags.index("/Table")


def test_only_real_tables_are_tagged_as_tables(drawn: Any) -> None:
    tables = [node for node in elements(drawn(examples.heat_exchanger())) if node["/S"] == "/Table"]
    assert len(tables) == 5  # settings rows, finer and coarser, what is what, care, readings


# --- the QR ----------------------------------------------------------------------------------------------


def test_the_code_reads_back_from_a_plain_print(drawn: Any) -> None:
    found = zxingcpp.read_barcodes(raster(drawn(examples.heat_exchanger()), 1, 150))
    assert [(code.text, code.ec_level) for code in found] == [(examples.ADDRESS.full, "Q")]


def test_without_a_public_address_there_is_no_code(drawn: Any) -> None:
    sheet = drawn(examples.thermoblock())
    assert zxingcpp.read_barcodes(raster(sheet, 1, 150)) == []
    assert words_of(sheet, 1).count("01632 960147") == 1


# --- fit -------------------------------------------------------------------------------------------------


def assert_inside(sheet: pdf.Rendered, paper: Paper) -> None:
    """No ink beside the live width, nor between the live area and the foot line."""
    dpi = 72
    for page in range(sheet.pages):
        picture = raster(sheet, page, dpi).point(lambda value: 255 if value < 200 else 0)
        wide, tall = picture.size

        def px(mm: float) -> int:
            return round(mm / MM_PER_INCH * dpi)

        assert picture.crop((0, 0, px(LEFT_MM) - 2, tall)).getbbox() is None
        assert picture.crop((px(LEFT_MM + LIVE_MM) + 2, 0, wide, tall)).getbbox() is None
        foot = tall - px(FOOT_INK_MM)
        assert picture.crop((0, tall - px(BOTTOM_MM[paper]) + 1, wide, foot)).getbbox() is None


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize(("marks", "pages"), [(0, 2), (2, 2), (3, 2), (6, 3), (12, 4)])
def test_the_sheet_fills_whole_pages_without_overflow(drawn: Any, paper: Paper, marks: int, pages: int) -> None:
    sheet = drawn(examples.heat_exchanger(paper, marks))
    assert sheet.pages == pages
    assert_inside(sheet, paper)
    size = read(sheet).pages[0].mediabox
    assert (round(size.width), round(size.height)) == {Paper.A4: (595, 842), Paper.LETTER: (612, 792)}[paper]


@pytest.mark.parametrize("example", [examples.lever_valve, examples.thermoblock])
@pytest.mark.parametrize("paper", list(Paper))
def test_the_other_kinds_of_machine_take_two_pages(drawn: Any, example: Any, paper: Paper) -> None:
    sheet = drawn(example(paper))
    assert sheet.pages == 2
    assert_inside(sheet, paper)


@pytest.mark.parametrize("paper", list(Paper))
def test_marks_list_and_signatures_move_together(drawn: Any, paper: Paper) -> None:
    sheet = drawn(examples.heat_exchanger(paper, 6))
    second, third = words_of(sheet, 1), words_of(sheet, 2)
    for words in ("Marks you were shown", "You received", "Buyer, marks 1 to 6 seen", "For the workshop"):
        assert (words in second, words in third) == (False, True), words
    assert "Marks and receipt" in third


@pytest.mark.parametrize("paper", list(Paper))
def test_signatures_never_stand_alone(drawn: Any, paper: Paper) -> None:
    last = words_of(drawn(examples.heat_exchanger(paper, 12)), 3)
    assert "12 Front, high" in last
    assert "Buyer, marks 1 to 12 seen" in last


@pytest.mark.parametrize("paper", list(Paper))
def test_many_readings_send_marks_and_receipt_to_page_three(drawn: Any, paper: Paper) -> None:
    whole = examples.heat_exchanger(paper, 2)
    more = tuple(ReadingRow(f"Reading {at}", "none", "none seen", "Sam, 12 May") for at in range(8))
    sheet = drawn(replace(whole, readings=(*whole.readings, *more)))
    assert sheet.pages == 3
    assert "Marks and receipt Marks you were shown" in words_of(sheet, 2)
    assert_inside(sheet, paper)


@pytest.mark.parametrize("paper", list(Paper))
def test_a_long_first_page_spills_before_it_shrinks(drawn: Any, paper: Paper) -> None:
    whole = examples.heat_exchanger(paper, 2)
    long = replace(whole, steps=tuple(Step((*step.runs, *step.runs)) for step in whole.steps))
    sheet = drawn(long)
    assert sheet.pages == 3
    assert "What not to do" in words_of(sheet, 1)
    assert '<div class="sheet-page fit-0"' in sheet.html
    assert_inside(sheet, paper)


@pytest.mark.parametrize("paper", list(Paper))
def test_the_longest_words_stay_inside(drawn: Any, paper: Paper) -> None:
    whole = examples.heat_exchanger(paper, 3)
    sheet = drawn(
        replace(
            whole,
            kind_words=f"One-group machine with {LONG}",
            settings=replace(whole.settings, rows=(*whole.settings.rows, Row(LONG, LONG))),
            baskets=(*whole.baskets, Row(LONG, LONG)),
            milk=(*whole.milk, LONG + LONG),
            care=(*whole.care, CareRow(LONG + LONG + LONG, LONG, LONG)),
            readings=(*whole.readings, ReadingRow(LONG, LONG, LONG, LONG)),
            received=(*whole.received, LONG),
            signatures=(LONG + LONG,),
        )
    )
    assert_inside(sheet, paper)


def test_no_type_is_smaller_than_its_floor(drawn: Any) -> None:
    # 10 pt is the foot line, 10.5 pt the notes; all else is larger.
    sizes: dict[float, set[str]] = {}

    def note(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        if text.strip():
            scale = abs(tm[3] * cm[3] - tm[2] * cm[1]) or abs(tm[0] * cm[0])
            sizes.setdefault(round(size * scale, 1), set()).add(text.strip())

    for page in read(drawn(examples.heat_exchanger(Paper.LETTER, 12))).pages:
        page.extract_text(visitor_text=note)
    smallest = sorted(sizes)[:2]
    assert smallest == [10.0, 10.5]
    assert all("sheet 1, issued" in words or words.startswith("page ") for words in sizes[10.0])


# --- the same bytes --------------------------------------------------------------------------------------


def test_the_same_content_gives_the_same_bytes_in_another_process() -> None:
    here = pdf.render(examples.heat_exchanger(), photo=examples.photo)
    again = pdf.render(examples.heat_exchanger(), photo=examples.photo)
    script = (
        "import os, django; django.setup();"
        "from handover import pdf; from tests.handover import sheet_examples as e;"
        "print(pdf.render(e.heat_exchanger(), photo=e.photo).sha256)"
    )
    environ = {
        **os.environ,
        "PYTHONHASHSEED": "7",
        "TZ": "Pacific/Auckland",
        "DJANGO_SETTINGS_MODULE": os.environ["DJANGO_SETTINGS_MODULE"],
        "PYTHONPATH": os.pathsep.join([str(settings.BASE_DIR), *sys.path]),
    }
    there = subprocess.run([sys.executable, "-c", script], env=environ, capture_output=True, text=True, check=True)
    assert here.pdf == again.pdf
    assert here.sha256 == hashlib.sha256(here.pdf).hexdigest() == there.stdout.strip()


def test_another_word_gives_other_bytes(drawn: Any) -> None:
    other = replace(examples.heat_exchanger(), serial="0456-23")
    assert drawn(other).sha256 != drawn(examples.heat_exchanger()).sha256


def test_attachments_come_out_as_they_went_in_and_keep_the_bytes_alike() -> None:
    files = (pdf.Attached("care.ics", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", "Care dates"),)
    first, second = (pdf.render(examples.thermoblock(), photo=examples.photo, attached=files) for _ in range(2))
    assert first.pdf == second.pdf
    assert {name: data[0] for name, data in read(first).attachments.items()} == {"care.ics": files[0].data}


def test_photos_lose_nothing_and_carry_no_place(drawn: Any) -> None:
    assert b"Exif" not in drawn(examples.heat_exchanger()).pdf


# --- what it refuses -------------------------------------------------------------------------------------


def test_a_photo_that_is_gone_stops_the_sheet() -> None:
    def gone(sha: str) -> bytes:
        raise KeyError(sha)

    with pytest.raises(pdf.AssetRefused, match="photo:"):
        pdf.render(examples.heat_exchanger(), photo=gone)


@pytest.mark.parametrize(
    "address", ["https://example.org/a.png", "file:///etc/hostname", "data:text/plain,x", "ftp://example.org/x"]
)
def test_nothing_is_fetched_but_our_own_files(address: str) -> None:
    from weasyprint.urls import FatalURLFetchingError

    with pytest.raises(FatalURLFetchingError):
        pdf._fetcher(examples.photo).fetch(address)


def test_a_step_out_of_the_static_folder_is_refused() -> None:
    from weasyprint.urls import FatalURLFetchingError

    outside = Path(settings.BASE_DIR, "static", "..", "manage.py")
    assert outside.exists()
    with pytest.raises(FatalURLFetchingError):
        pdf._fetcher(examples.photo).fetch(f"file://{outside}")


def test_missing_libraries_are_named_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    class Blocked:
        def find_spec(self, name: str, *rest: Any) -> None:
            if name == "weasyprint":
                raise OSError("cannot load library 'libpangoft2-1.0-0'")

    monkeypatch.delitem(sys.modules, "weasyprint", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Blocked(), *sys.meta_path])
    with pytest.raises(pdf.PdfUnavailable, match=re.escape("libpangoft2-1.0-0 and libharfbuzz-subset0")):
        pdf.render(examples.thermoblock(), photo=examples.photo)
    pdf.warm()  # a server starts all the same


def test_the_collector_rests_while_a_sheet_is_drawn_and_goes_on_after_it(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[bool] = []

    def laid_out(*given: Any) -> None:
        seen.append(gc.isenabled())
        raise pdf.AssetRefused("gone")

    monkeypatch.setattr(pdf, "_laid_out", laid_out)
    with pytest.raises(pdf.AssetRefused):
        pdf.render(examples.thermoblock(), photo=examples.photo)
    assert (seen, gc.isenabled()) == ([False], True)
