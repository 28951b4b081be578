"""The buyer's page, its form and the calendar file in the language of the sheet they show."""

import re
from html import unescape

import icalendar
import pytest
from django.urls import reverse

from handover import compose
from handover.models import BuyerMessage, Sheet
from handover.words import Language
from tests.handover import pseudo
from tests.handover.typed import words_typed
from tests.house import NOW
from workshop.core.models import SearchEntry

HEADINGS = {
    "en": ("Something is wrong", "Choose one."),
    "de": ("Etwas stimmt nicht", "Bitte eines wählen."),
    "fr": ("Quelque chose ne va pas", "Choisissez-en un."),
    "it": ("Qualcosa non va", "Ne scelga uno."),
    "es": ("Algo va mal", "Elija una opción."),
}


@pytest.fixture
def link(today, link):
    return link


def speak(link, language):
    """Let the page show the next sheet of its machine, in another language."""
    number = Sheet.objects.latest("number").number + 1
    content = compose.sheet(link.job, number=number, issued_on=NOW.date(), token=link.token, language=language)
    link.sheet = Sheet.objects.create(
        job=link.job, number=number, content=content.to_json(), sha256=f"{number:064}", pages=2, dated=True,
        by=link.made_by, at=NOW,
    )  # fmt: skip
    link.save()
    return content


def url(name, link):
    return reverse(f"handover:{name}", args=[link.token])


def test_each_page_speaks_the_language_of_its_sheet(link, stranger):
    for language in Language.values:
        content = speak(link, language)
        wrong, choose = HEADINGS[language]

        page = stranger.get(url("buyer_page", link)).content.decode()
        refused = stranger.post(url("buyer_trouble", link), {"since": "", "words": ""})

        assert f'<html lang="{language}"' in page
        assert wrong in page
        assert unescape(page).count(content.safety[0].hazard) == 1
        assert refused.status_code == 422
        assert choose in refused.content.decode()
        assert f"<title>{wrong}" not in refused.content.decode()  # an error stands before it, in each language


def test_the_care_file_speaks_it_too(link, stranger):
    speak(link, "fr")

    file = icalendar.Calendar.from_ical(stranger.get(url("buyer_calendar", link)).content)
    events = list(file.walk("VEVENT"))

    assert str(file["X-WR-CALNAME"]) == f"Entretien de {link.job.machine.name}"
    assert all(str(event["SUMMARY"]).startswith(f"{link.job.machine.name} : ") for event in events)
    assert any("joint de groupe" in str(event["SUMMARY"]) for event in events)
    assert all("Appelez-nous" in str(event["DESCRIPTION"]) for event in events)


def test_what_a_buyer_writes_is_found_in_the_workshops_own_words(link, stranger):
    speak(link, "de")

    kept = stranger.post(url("buyer_trouble", link), {"trouble": "NOISE", "since": "Dienstag", "words": "Es pfeift."})

    assert kept.status_code == 302
    assert str(BuyerMessage.objects.get()) == "A new noise"
    assert SearchEntry.objects.filter(folded__contains="new noise").exists()


@pytest.mark.parametrize(
    ("asked", "language", "words"),
    [
        ("de-CH,de;q=0.9,en;q=0.8", "de", "Unter dieser Adresse öffnet sich nichts"),
        ("pt-BR,it;q=0.7", "it", "A questo indirizzo non si apre niente"),
        ("pt-BR", "en", "Nothing opens at this address"),
        ("", "en", "Nothing opens at this address"),
        ("x" * 5000, "en", "Nothing opens at this address"),
    ],
)
def test_a_page_that_does_not_open_speaks_what_the_browser_asks_for(stranger, db, asked, language, words):
    answer = stranger.get("/b/" + "2" * 40 + "/", headers={"accept-language": asked})

    assert answer.status_code == 404
    assert f'<html lang="{language}"' in answer.content.decode()
    assert words in answer.content.decode()
    assert answer["Vary"] == "Accept-Language"


def seen(page):
    """What a reader sees or hears of a page: its text, with alt texts and titles, without tags."""
    words = re.findall(r'(?:alt|aria-label|title|placeholder)="([^"]*)"', page)
    page = re.sub(r"https?://\S+", "", page)  # its own address, to copy
    return unescape(re.sub(r"<(style|head)\b.*?</\1>|<[^>]+>", " ", page, flags=re.S) + " ".join(words))


def test_no_words_of_ours_are_left_unwrapped_on_these_pages(link, stranger, tmp_path):
    known = words_typed(link.job)
    with pseudo.spoken(tmp_path):
        speak(link, pseudo.CODE)
    for name in ("buyer_page", "buyer_trouble", "buyer_kept", "buyer_unplug"):
        with pseudo.spoken(tmp_path):
            page = stranger.get(url(name, link)).content.decode()

        assert pseudo.OPEN in page
        assert [word for word in pseudo.words_outside(seen(page)) if word.lower() not in known] == [], name
