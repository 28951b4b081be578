"""Told by link: what a stranger reads before agreeing, what the press keeps, and that nothing else opens."""

import re
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import translation

from demo_fixtures import scenario
from handover import compose, pdf, services, told_links, told_paper, visits
from handover.models import Told, ToldLink
from handover.retold import retold
from intake.models import Finding, Mark, Walk
from tests.handover.test_kitchen import new
from tests.house import NOW
from workshop.core import http
from workshop.core.acts import Refused
from workshop.core.models import Job, JournalEntry
from workshop.desk.services import undo_entry
from workshop.pricing import services as pricing
from workshop.pricing.models import Sale
from workshop.trade.condition.scoring import Face, MarkKind, Shows


@pytest.fixture
def demo(db, monkeypatch):
    monkeypatch.setattr(http, "today", lambda: NOW.date())
    return scenario.open_house(NOW)


@pytest.fixture
def job(demo):
    """A machine priced, with marks; nobody was told yet."""
    scenario.at_price(demo)
    return Job.objects.for_page().get()


@pytest.fixture
def link(demo, job):
    told_links.make(demo.act(0), job, language="en")
    return ToldLink.objects.select_related("job__machine__notes").get()


def url(name, link, *more):
    return reverse(f"handover:{name}", args=[link.token, *more])


def page(client, link):
    return client.get(url("told_page", link)).content.decode()


def marks(job):
    return Mark.objects.filter(walk__job=job).order_by("number")


def test_a_stranger_reads_every_mark_what_was_left_and_what_was_not_tested(stranger, link):
    shown = page(stranger, link)

    assert link.marks
    for mark in link.marks:
        assert mark["words"].replace("'", "&#x27;") in shown
    for words in (*link.content["left"], *link.content["not_tested"]):
        assert words.replace("'", "&#x27;") in shown
    assert "I have read this" in shown


def test_it_names_nobody_and_no_price_and_leads_nowhere_else(stranger, link, demo):
    shown = page(stranger, link)

    for word in ("£", "Tolland", demo.owner.first_name, "sign-in"):
        assert word not in shown
    leads = set(re.findall(r'(?:href|action|src)="(/[^"]*)"', shown))
    assert all(lead.startswith((f"/t/{link.token}/", "/static/")) for lead in leads), leads
    assert "<script" not in shown


def test_no_cookie_no_index_no_referrer(stranger, link):
    answer = stranger.get(url("told_page", link))

    assert not answer.cookies
    assert "noindex" in answer["X-Robots-Tag"]
    assert answer["Referrer-Policy"] == "no-referrer"
    assert "script-src 'none'" in answer["Content-Security-Policy"]


def test_the_press_dates_exactly_what_was_shown_with_nobody_signed_in(stranger, link, job):
    pressed = stranger.post(url("told_read", link))

    row = Told.objects.get()
    assert pressed.status_code == 302
    assert (row.how, row.by, row.link) == ("LINK", None, link)
    assert [mark["id"] for mark in row.marks] == list(marks(job).values_list("pk", flat=True))
    assert (row.left, row.not_tested) == (link.content["left"], link.content["not_tested"])
    assert "Read on" in page(stranger, link)


def test_pressed_twice_it_is_one_record(stranger, link):
    for _ in range(3):
        stranger.post(url("told_read", link))

    assert Told.objects.count() == 1


def test_the_reservation_rests_on_what_was_read(stranger, link, job, demo):
    with pytest.raises(Refused):
        services.reserve(demo.act(0), job, new())
    stranger.post(url("told_read", link))
    services.reserve(demo.act(0), job, new())

    client = Client()
    client.force_login(demo.owner)
    shown = client.get(reverse("handover:handover", args=[job.machine.slug])).content.decode()
    assert "Read at the address we sent" in shown


def test_a_mark_found_after_the_address_was_made_is_not_told_by_it(stranger, link, job, demo):
    walk = marks(job).first().walk
    Mark.objects.create(
        walk=walk, number=90, face=Face.BACK, kind=MarkKind.DENT, size_mm=9, shows=Shows.CLOSE_UP, by=demo.owner, at=NOW
    )
    stranger.post(url("told_read", link))

    assert "number=90" not in str(Told.objects.get().marks)
    with pytest.raises(Refused, match="Something was added since"):
        services.reserve(demo.act(0), job, new())


@pytest.mark.parametrize("how", ["unknown", "withdrawn", "expired", "gone"])
def test_what_opens_nothing_looks_and_costs_the_same(stranger, link, demo, monkeypatch, how):
    if how == "withdrawn":
        told_links.withdraw(demo.act(0), link)
    if how == "expired":
        monkeypatch.setattr(http, "today", lambda: NOW.date() + timedelta(days=told_links.OPEN_DAYS + 1))
    if how == "gone":
        Job.objects.update(closed_at=NOW, closed_by=demo.owner, closed_as="SCRAPPED")
    address = url("told_page", link) if how != "unknown" else "/t/" + "2" * 40 + "/"
    with CaptureQueriesContext(connection) as asked:
        answer = stranger.get(address)

    assert answer.status_code == 404
    assert "Nothing opens at this address" in answer.content.decode()
    assert len(asked) == 1
    assert stranger.post(url("told_read", link)).status_code == (302 if how == "unknown" else 404)


@pytest.mark.parametrize("token", ["a", "%00", "2" * 5000, "..", "' OR 1=1 --", "2" * 39 + "%0A", "<b>x</b>"])
def test_hostile_addresses_get_the_plain_page(stranger, link, token):
    for tail in ("", "read/", "mark-1.jpg", "what/ever"):
        answer = stranger.get(f"/t/{token}/{tail}")
        assert answer.status_code in (404, 405)


def test_it_opens_to_its_last_day(stranger, link, monkeypatch):
    monkeypatch.setattr(http, "today", lambda: NOW.date() + timedelta(days=told_links.OPEN_DAYS))

    assert stranger.get(url("told_page", link)).status_code == 200


def test_only_photos_of_the_marks_shown_are_served(stranger, link):
    with_photo = [mark["number"] for mark in link.marks if mark["photo"]]

    assert with_photo, "the demo has photos of its marks"
    assert stranger.get(url("told_photo", link, with_photo[0])).status_code == 200
    assert stranger.get(url("told_photo", link, 77)).status_code == 404


def test_asked_too_often_it_waits(stranger, link, monkeypatch):
    monkeypatch.setattr(visits, "PER_PAGE", 2)

    assert [stranger.get(url("told_page", link)).status_code for _ in range(4)] == [200, 200, 429, 429]


def test_the_page_asks_equally_often_for_one_mark_and_for_thirty(stranger, link):
    counts = []
    for many in (1, 30):
        link.content = {
            **link.content,
            "marks": [{"id": n, "number": n, "words": "x", "photo": None} for n in range(many)],
        }
        link.save()
        with CaptureQueriesContext(connection) as asked:
            page(stranger, link)
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_making_and_withdrawing_are_undone(demo, job):
    made = told_links.make(demo.act(0), job, language="de")
    link = ToldLink.objects.select_related("job__machine").get()
    undo_entry(demo.act(0), made)
    assert told_links.opened(link.token, NOW.date()) is None

    withdrawn = JournalEntry.objects.get(verb="withdraw_told_link")
    undo_entry(demo.act(0), withdrawn)
    assert told_links.opened(link.token, NOW.date()) == link


def test_nothing_is_sent_of_a_machine_nobody_looked_over(demo, job):
    Walk.objects.get(job=job, kind="ARRIVAL").looks.first().delete()
    Walk.objects.exclude(kind="ARRIVAL").delete()

    with pytest.raises(Refused, match="Walk round it first"):
        told_links.make(demo.act(0), job, language="en")


def test_the_database_wants_somebody_who_told_or_an_address_that_was_read(link, demo):
    row = {"job": link.job, "marks": [], "left": [], "not_tested": [], "at": NOW}
    for wrong in (
        {"how": "LINK", "by": demo.owner},
        {"how": "SCREEN"},
        {"how": "SCREEN", "by": demo.owner, "link": link},
        {"how": "SHOUTED", "by": demo.owner},
    ):
        with pytest.raises(IntegrityError), transaction.atomic():
            Told.objects.create(**row, **wrong)


def at(name, job, *more):
    return reverse(f"handover:{name}", args=[job.machine.slug, *more])


def test_the_workshop_makes_and_withdraws_an_address(ana, job):
    made = ana.post(at("told_link_make", job), {"language": "en", "key": "k"})
    assert made["Location"].endswith("#told")
    link = ToldLink.objects.get()
    shown = ana.get(at("handover", job)).content.decode()
    assert f"/t/{link.token}/" in shown
    assert "not read yet" in shown

    ana.post(at("told_link_withdraw", job, link.pk), {"key": "w"})
    shown = ana.get(at("handover", job)).content.decode()
    assert link.token not in shown
    assert "Withdrawn, never read." in shown


def test_on_the_workshops_phone_nothing_else_can_be_reached_and_the_press_is_kept(ana, job, demo):
    shown = ana.get(at("told_show", job)).content.decode()
    assert 'class="large"' in shown
    leads = set(re.findall(r'(?:href|action)="(/[^"]*)"', shown))
    assert all(lead.startswith("/static/") for lead in leads), leads

    kept = ana.post(at("told_show", job), {"key": "k"})
    row = Told.objects.get()
    assert (row.how, row.by) == ("SCREEN", demo.owner)
    assert "hand the phone back" in ana.get(kept["Location"]).content.decode()


def test_it_is_printed_with_a_line_to_sign(ana, job):
    answer = ana.get(at("told_pdf", job))

    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/pdf"
    assert b"".join(answer).startswith(b"%PDF") if answer.streaming else answer.content.startswith(b"%PDF")


def test_the_paper_and_the_marks_on_it_speak_the_buyers_language(demo, job, monkeypatch):
    services.tell(demo.act(0), job, how="SCREEN")
    services.reserve(demo.act(0), job, new(language="de"))
    drawn = []
    monkeypatch.setattr(pdf, "draw", lambda html, *_, **__: drawn.append(html) or b"")
    told_paper.draw(job, NOW.date())
    english = compose.to_tell(job).marks[0]["words"]
    with translation.override("de"):
        german = retold(english)

    assert '<html lang="de">' in drawn[0]
    assert german != english
    assert (german in drawn[0], english in drawn[0]) == (True, False)


def test_sold_as_it_is_what_was_read_at_an_address_names_nobody(ana, stranger, link, job):
    stranger.post(url("told_read", link))
    shown = ana.get(at("untested", job)).content.decode()

    assert "Read at the address we sent" in shown
    assert "None" not in shown


def test_what_is_not_mended_and_not_proved_yet_is_said_so_in_the_readers_words(stranger, demo):
    scenario.at_prove(demo)
    job = Job.objects.for_page().latest("pk")
    Finding.objects.create(job=job, words="Ready light stays on", by=demo.owner, at=NOW)
    told_links.make(demo.act(0), job, language="de")
    shown = page(stranger, ToldLink.objects.get())

    assert "Ready light stays on: noch nicht behoben" in shown
    assert "unsere Prüfungen daran sind nicht abgeschlossen" in shown
    assert "Alles" not in shown  # neither all put right nor all tested


def test_no_paper_is_printed_of_a_machine_nobody_looked_over(ana, job):
    Walk.objects.get(job=job, kind="ARRIVAL").looks.first().delete()
    Walk.objects.exclude(kind="ARRIVAL").delete()
    assert ana.get(at("told_pdf", job))["Location"].endswith("#told")


def test_no_deposit_is_noted_before_the_buyer_was_told(demo, job):
    services.tell(demo.act(0), job, how="SCREEN")
    services.reserve(demo.act(0), job, new())
    sale = Sale.objects.select_related("job__machine").get()
    walk = marks(job).first().walk
    Mark.objects.create(
        walk=walk, number=91, face=Face.BACK, kind=MarkKind.DENT, size_mm=9, shows=Shows.CLOSE_UP, by=demo.owner, at=NOW
    )
    with pytest.raises(Refused, match="Take no money yet"):
        pricing.record_payment(demo.act(0), sale, 8000, "card")

    services.tell(demo.act(0), job, how="SCREEN")
    pricing.record_payment(demo.act(0), sale, 8000, "card")
    assert sale.payments.count() == 1
