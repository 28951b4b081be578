"""How sheets come out on two papers: marks from none to thirty, every language, usual and large print, nothing clipped.

Pages are looked at as pictures (no ink outside the live area) and as text (nothing lost, nothing twice, no type under
its floor). A drawing that the library grumbles about fails, wherever it is made.
"""

import io
from collections import Counter
from dataclasses import replace
from typing import Any

import pypdf
import pypdfium2
import pytest
import zxingcpp

from handover import estimate, fitting, pdf
from handover.fitting import Fit
from handover.sheet import CareRow, Paper, PrintSize, ReadingRow, Row, SheetContent, Step
from tests.handover import sheet_examples as examples

LANGUAGES = ("en", "de", "fr", "it", "es")
MARKS = (0, 2, 6, 12, 30)
LARGE, USUAL = PrintSize.LARGE, PrintSize.USUAL
LONGEST = "Siebträgerdichtungsauflageflächenreinigung"
LEFT_MM, LIVE_MM, DPI = 20, 175, 72
FOOT_INK_MM = {USUAL: 10, LARGE: 12}  # the foot line stands in the lowest of them
BOTTOM_MM = {(Paper.A4, USUAL): 16, (Paper.LETTER, USUAL): 15, (Paper.A4, LARGE): 18, (Paper.LETTER, LARGE): 18}
KEPT: dict[str, pdf.Rendered] = {}


@pytest.fixture(autouse=True)
def _no_warning(caplog: pytest.LogCaptureFixture) -> Any:
    yield
    assert [record.getMessage() for record in caplog.records if record.name.startswith("weasyprint")] == []


def drawn(content: SheetContent) -> pdf.Rendered:
    key = content.to_json()
    if key not in KEPT:
        KEPT[key] = pdf.render(content, photo=examples.photo)
    return KEPT[key]


def words_of(sheet: pdf.Rendered) -> str:
    pages = pypdf.PdfReader(io.BytesIO(sheet.pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).replace("\u200b", "").split())


def sizes_of(sheet: pdf.Rendered) -> Counter[float]:
    """How many signs stand in each size of type, in points."""
    sizes: Counter[float] = Counter()

    def note(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        scale = abs(tm[3] * cm[3] - tm[2] * cm[1]) or abs(tm[0] * cm[0])
        sizes[round(size * scale, 1)] += len(text.strip())

    for page in pypdf.PdfReader(io.BytesIO(sheet.pdf)).pages:
        page.extract_text(visitor_text=note)
    return +sizes


def assert_inside(sheet: pdf.Rendered, content: SheetContent) -> None:
    """No ink beside the live width, nor between the live area and the foot line."""
    document = pypdfium2.PdfDocument(sheet.pdf)
    for number in range(sheet.pages):
        picture = document[number].render(scale=DPI / 72, grayscale=True).to_pil()
        dark = picture.point(lambda value: 255 if value < 200 else 0)
        wide, tall = dark.size

        def px(mm: float) -> int:
            return round(mm / 25.4 * DPI)

        assert dark.crop((0, 0, px(LEFT_MM) - 2, tall)).getbbox() is None, f"page {number + 1}, left"
        assert dark.crop((px(LEFT_MM + LIVE_MM) + 2, 0, wide, tall)).getbbox() is None, f"page {number + 1}, right"
        foot = (0, tall - px(BOTTOM_MM[content.paper, content.size]) + 1, wide, tall - px(FOOT_INK_MM[content.size]))
        assert dark.crop(foot).getbbox() is None, f"page {number + 1}, foot"


@pytest.mark.parametrize("size", list(PrintSize))
@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("marks", MARKS)
def test_any_number_of_marks_is_printed_whole(marks: int, paper: Paper, size: PrintSize) -> None:
    content = replace(examples.heat_exchanger(paper, marks), size=size)
    sheet = drawn(content)
    text = words_of(sheet)
    assert_inside(sheet, content)
    assert [
        text.count(f"{mark.number} {mark.words[:12]}".replace("\u00a0", " ")) for mark in content.condition.marks
    ] == [1] * marks
    if size is USUAL:
        assert sheet.pages <= 2 + (marks > 3) + -(-max(marks - 3, 0) // 12)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("size", list(PrintSize))
def test_every_language_stays_inside(language: str, paper: Paper, size: PrintSize) -> None:
    content = replace(examples.heat_exchanger(paper), language=language, size=size)
    sheet = drawn(content)
    assert_inside(sheet, content)
    assert pypdf.PdfReader(io.BytesIO(sheet.pdf)).trailer["/Root"]["/Lang"] == language


@pytest.mark.parametrize("size", list(PrintSize))
@pytest.mark.parametrize("paper", list(Paper))
def test_the_longest_words_stay_inside(paper: Paper, size: PrintSize) -> None:
    whole = examples.lever_valve(paper, 2)
    content = replace(
        whole,
        size=size,
        steps=(*whole.steps, Step(tuple(replace(run, words=run.words + LONGEST * 3) for run in whole.steps[0].runs))),
        settings=replace(whole.settings, rows=(*whole.settings.rows, Row(LONGEST, LONGEST))),
        baskets=(*whole.baskets, Row(LONGEST, LONGEST)),
        never=(*whole.never, LONGEST * 3),
        care=(*whole.care, CareRow(LONGEST * 3, LONGEST, LONGEST)),
        readings=(*whole.readings, ReadingRow(LONGEST, LONGEST, LONGEST, LONGEST)),
        received=(*whole.received, LONGEST),
        signatures=(LONGEST * 2,),
    )
    assert_inside(drawn(content), content)


# --- large print -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", list(Paper))
def test_large_print_has_large_type_only(paper: Paper) -> None:
    sizes = sizes_of(drawn(replace(examples.heat_exchanger(paper), size=LARGE)))
    chart = sizes.pop(10.5)  # its words in its own measure; it is drawn twice as large as on the usual print
    assert chart < 60
    assert min(sizes) == 14  # the foot line alone
    assert sizes[14] < 500
    assert sizes.most_common(1)[0][0] == 16


def test_large_print_says_what_the_usual_says() -> None:
    usual, large = (words_of(drawn(replace(examples.heat_exchanger(), size=size))) for size in (USUAL, LARGE))
    for words in ("Wait 10 seconds after it stops.", "16.5 g", "What not to do", "Buyer, marks 1 to 3 seen"):
        assert (words in usual, words in large) == (True, True), words


def test_large_print_leaves_no_page_half_empty_but_the_last() -> None:
    content = replace(examples.heat_exchanger(), size=LARGE)
    document = pypdfium2.PdfDocument(drawn(content).pdf)
    for number in range(len(document) - 1):
        picture = document[number].render(scale=1, grayscale=True).to_pil()
        above_foot = picture.crop((0, 0, picture.width, picture.height - 52)).point(lambda v: 255 if v < 200 else 0)
        assert above_foot.getbbox()[3] > picture.height * 0.55, f"page {number + 1}"


@pytest.mark.parametrize("size", list(PrintSize))
@pytest.mark.parametrize("paper", list(Paper))
def test_the_code_reads_back_at_150_dpi(paper: Paper, size: PrintSize) -> None:
    sheet = drawn(replace(examples.heat_exchanger(paper), size=size))
    pages = (page.render(scale=150 / 72, grayscale=True).to_pil() for page in pypdfium2.PdfDocument(sheet.pdf))
    assert [code.text for page in pages for code in zxingcpp.read_barcodes(page)] == [examples.ADDRESS.full]


# --- how it is fitted ------------------------------------------------------------------------------------


def test_no_type_goes_under_ten_and_a_half_however_long_page_one_is() -> None:
    whole = examples.heat_exchanger(Paper.LETTER)
    for times in (1, 2, 3):
        after = tuple(f"{line} {at}" for at in range(times) for line in whole.after_use)
        sizes = sizes_of(drawn(replace(whole, after_use=after)))
        assert sorted(sizes)[:2] == [10.0, 10.5], times


def test_safety_and_settings_stay_at_twelve_where_the_rest_steps_down() -> None:
    whole = examples.heat_exchanger(Paper.LETTER)
    sheet = drawn(whole)
    assert 'sheet-page fit-0"' not in sheet.html
    seen: dict[str, float] = {}

    def note(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        scale = abs(tm[3] * cm[3] - tm[2] * cm[1]) or abs(tm[0] * cm[0])
        for words in ("Electric shock", "double, one wall"):
            if words in text:
                seen[words] = round(size * scale, 1)

    pypdf.PdfReader(io.BytesIO(sheet.pdf)).pages[0].extract_text(visitor_text=note)
    assert seen == {"Electric shock": 12, "double, one wall": 12}


@pytest.mark.parametrize("paper", list(Paper))
@pytest.mark.parametrize("example", [examples.heat_exchanger, examples.lever_valve, examples.thermoblock])
def test_the_first_guess_is_drawn_once(example: Any, paper: Paper, monkeypatch: pytest.MonkeyPatch) -> None:
    tries = []
    monkeypatch.setattr(pdf, "_layout", lambda *args, _real=pdf._layout: tries.append(1) or _real(*args))
    pdf.render(example(paper), photo=examples.photo)
    assert len(tries) == 1


def test_closer_comes_before_another_page_and_the_extra_readings_go_first() -> None:
    content = examples.heat_exchanger()
    over = [Fit()]
    while (more := fitting.next_try(over[-1], content, drawer_at=1, pages=3)) is not None:
        over.append(more)
    assert over == [Fit(), Fit(drawer=1), Fit(drawer=1, more=False), Fit(apart=True)]


def test_page_one_steps_down_before_it_runs_over() -> None:
    content = examples.heat_exchanger()
    over = [Fit()]
    while (more := fitting.next_try(over[-1], content, drawer_at=2, pages=4)) is not None:
        over.append(more)
    assert [(fit.counter, fit.flows, fit.apart) for fit in over] == [
        *((level, False, False) for level in range(fitting.CLOSEST + 1)),
        (0, True, False),
        (0, True, True),
    ]


def test_a_measured_reading_more_is_printed_where_there_is_room() -> None:
    roomy = replace(examples.heat_exchanger(marks=6))
    assert "Hot water at the tap" in words_of(drawn(roomy))


@pytest.mark.parametrize("level", range(fitting.CLOSEST - 1))
def test_closer_is_reckoned_lower(level: int) -> None:
    for paper in Paper:
        content = examples.heat_exchanger(paper)
        assert estimate.counter(content, level + 1) < estimate.counter(content, level)
