"""The buyer's language: said with the reservation or at issuing, kept in the sheet, asked for again when it moves."""

import pytest
from django.urls import reverse

from handover import compose, pdf, services
from handover.forms import ReservationChangeForm
from handover.models import Reservation, Sheet
from handover.outdated import outdated
from handover.sheet import SheetContent
from tests.handover.buyers import issue
from tests.house import NOW
from workshop.core import http


@pytest.fixture
def drawn(monkeypatch):
    """No PDF is drawn: these are about what stands in the sheet."""
    made = pdf.Rendered(html="", pdf=b"%PDF-", pages=2, sha256="0" * 64)
    monkeypatch.setattr(services, "_draw", lambda *_: made)


def content_of(sheet):
    return SheetContent.from_json(sheet.content)


def test_a_sheet_speaks_the_language_said_with_the_reservation(monkeypatch, demo, ready):
    Reservation.objects.filter(job=ready).update(language="de")

    link = issue(monkeypatch, demo, ready)

    assert content_of(link.sheet).language == "de"


def test_without_a_reservation_it_speaks_the_language_chosen_at_issuing(client, demo, ready, drawn, monkeypatch):
    monkeypatch.setattr(http, "today", lambda: NOW.date())
    services.cancel_reservation(demo.act(0, demo.owner), ready.reservations.get())
    client.force_login(demo.owner)

    page = client.get(reverse("handover:handover", args=[ready.machine.slug])).content.decode()
    client.post(reverse("handover:sheet_issue", args=[ready.machine.slug]), {"paper": "A4", "language": "it"})

    assert 'name="language"' in page
    assert content_of(Sheet.objects.get(job=ready)).language == "it"


def test_english_until_somebody_says_otherwise(demo, ready):
    assert compose.sheet(ready, number=1, issued_on=NOW.date()).language == "en"
    assert ReservationChangeForm.base_fields["language"].initial == "en"


def test_another_language_asks_for_the_next_sheet(monkeypatch, demo, ready):
    sheet = issue(monkeypatch, demo, ready).sheet
    before = outdated(ready, sheet)

    Reservation.objects.filter(job=ready).update(language="fr")

    assert before == ""
    assert "the language the buyer reads" in outdated(ready, sheet)


def test_the_preview_can_be_read_in_each_language(client, demo, ready):
    client.force_login(demo.owner)
    address = reverse("handover:sheet_preview", args=[ready.machine.slug])

    shown = client.get(address, {"language": "es"}).content.decode()
    foreign = client.get(address, {"language": "xx"}).content.decode()

    assert 'class="paper sheet-A4" lang="es"' in shown
    assert 'class="paper sheet-A4" lang="en"' in foreign
    assert '<html lang="en' in shown  # the page round it stays the workshop's
