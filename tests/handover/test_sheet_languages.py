"""The sheet in every language: nothing of ours left in English, figures and dates in its way, nothing clipped."""

import io
import re
from html import unescape

import pypdf
import pypdfium2
import pytest
from django.utils import translation

from demo_fixtures import scenario
from handover import compose, pdf
from handover.fitting import Fit
from handover.saying import say_date
from handover.words import Language
from intake.photos import open_photo
from tests.handover import pseudo
from tests.handover.typed import words_typed
from tests.house import NOW
from workshop.core.models import Job

POINTS_A_MM = 72 / 25.4
MARGIN_MM = 14  # every margin of the page is wider
TOKEN = "2" * 40
WRAPS = {"en": "page 1 of", "de": "Seite 1 von", "fr": "page 1 sur", "it": "pagina 1 di", "es": "página 1 de"}


@pytest.fixture
def job(db, settings):
    settings.PUBLIC_URL = "https://tramshed.example"
    return Job.objects.for_page().get(pk=scenario.ready_to_hand_over(scenario.open_house(NOW)).pk)


def sheet(job, language, paper="A4"):
    return compose.sheet(job, number=7, issued_on=NOW.date(), paper=paper, token=TOKEN, language=language)


def seen(page):
    words = re.findall(r'(?:alt|data-foot|data-head)="([^"]*)"', page)
    text = re.sub(r"https?://\S+|tramshed\.example\S*", "", page)
    return unescape(re.sub(r"<[^>]+>", " ", text.partition("<body")[2]) + " ".join(words))


def test_no_words_of_ours_are_left_unwrapped_on_the_sheet(job, tmp_path):
    known = words_typed(job) | set(TOKEN)
    with pseudo.spoken(tmp_path):
        page = pdf.html_of(sheet(job, pseudo.CODE), Fit())

    left = [word for word in pseudo.words_outside(seen(page)) if word.lower() not in known]

    assert page.count(pseudo.OPEN) > 150
    assert left == []


@pytest.mark.parametrize("language", Language.values)
def test_the_paper_speaks_it_and_nothing_is_clipped(job, language, caplog):
    content = sheet(job, language, "LETTER" if language in ("de", "it") else "A4")

    drawn = pdf.render(content, photo=open_photo)
    read = pypdf.PdfReader(io.BytesIO(drawn.pdf))
    text = " ".join(" ".join(page.extract_text() for page in read.pages).split())
    with translation.override(language):
        signal, day = str(content.safety[0].signal.word), say_date(NOW.date())

    assert caplog.records == []
    assert read.trailer["/Root"]["/Lang"] == language
    assert ("16.5" if language == "en" else "16,5") in text
    assert ("16,5" if language == "en" else "16.5") not in text
    assert day in text
    assert WRAPS[language] in text
    assert drawn.pages <= 3
    stands_inside(drawn.pdf)
    ends_before(drawn.pdf, signal, content.safety[0].hazard[:14])


def stands_inside(data):
    """No letter stands in the margin."""
    for page in pypdfium2.PdfDocument(data):
        words, edge = page.get_textpage(), MARGIN_MM * POINTS_A_MM
        boxes = [words.get_charbox(at) for at in range(words.count_chars())]
        assert min(left for left, _, _, _ in boxes if left) >= edge
        assert max(right for _, _, right, _ in boxes) <= page.get_width() - edge


def ends_before(data, first, second):
    """On page 1 a word ends left of where another begins: the signal word keeps to its cell."""
    words = pypdfium2.PdfDocument(data)[0].get_textpage()
    at, _ = words.search(first).get_next()
    then, _ = words.search(second).get_next()
    assert words.get_charbox(at + len(first) - 1)[2] < words.get_charbox(then)[0]
