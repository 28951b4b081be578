"""Care of sold machines falls due: the words are ready, and an e-mail goes once, and only where it was agreed to."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core import mail as outbox
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils.html import escape

from demo_fixtures import scenario
from handover import care_dates, care_due, compose, consents, reminders, returns, services
from handover.models import CareDate, CareReminder, Consent, HandedOver, Sheet
from handover.sheet import SheetContent
from handover.words_after import ConsentHow
from tests.handover.buyers import issue
from tests.handover.post import post
from tests.house import NOW
from workshop.core.acts import Refused
from workshop.core.models import Job, JournalEntry
from workshop.desk import morning
from workshop.desk.services import undo_entry
from workshop.trade.care import calendar

SMTP = "django.core.mail.backends.smtp.EmailBackend"


@pytest.fixture
def sold(monkeypatch, demo):
    """A machine handed over so long ago that a task of its sheet falls due two days from now."""
    job = Job.objects.for_page().get(pk=scenario.ready_to_hand_over(demo).pk)
    content = compose.sheet(job, number=1, issued_on=NOW.date())
    every_days = min(row.every_days for row in content.care)
    ahead = (calendar.occurrences(every_days, content.care_from, 1)[0] - content.care_from).days - 2
    handed = NOW - timedelta(days=ahead)
    job.reservations.update(collect_on=handed.date())
    issue(monkeypatch, demo, job)
    sheet = Sheet.objects.get(job=job)
    Job.objects.filter(pk=job.pk).update(closed_at=handed, closed_by=demo.owner, closed_as="SOLD_PROVED")
    HandedOver.objects.create(job=job, sheet=sheet, by=demo.owner, at=handed)
    care_dates.lay(job, sheet)
    return Job.objects.for_page().get(pk=job.pk)


@pytest.fixture
def server(settings):
    settings.EMAIL_HOST, settings.DEFAULT_FROM_EMAIL = "mail.example", "shed@example.com"


@pytest.fixture
def ana(demo, monkeypatch):
    monkeypatch.setattr("workshop.core.http.today", NOW.date)
    client = Client()
    client.force_login(demo.owner)
    return client


def agree(demo, sold, days_ago=30, email="buyer@example.com"):
    buyer = sold.reservations.get().buyer
    new = consents.NewConsent(email, (NOW - timedelta(days=days_ago)).date(), ConsentHow.SPOKEN)
    consents.record(demo.act(0), sold, buyer, new)
    return Consent.objects.latest("pk")


def due():
    return care_due.this_week(NOW.date())[0]


def send(demo):
    reminders.send_now(demo.act(0), due())
    return CareReminder.objects.get()


def test_what_falls_due_this_week_is_listed_with_its_words(sold, ana):
    (row, *_) = care_due.this_week(NOW.date())
    html = ana.get(reverse("handover:care_due")).content.decode()

    assert row.due_on == NOW.date() + timedelta(days=2)
    assert sold.machine.name in row.words.text
    assert row.tasks[0].replace("\xa0", " ") in row.words.text
    assert "£" not in row.words.text
    assert str(row.buyer) not in row.words.text
    assert escape(row.words.text) in html
    assert "No consent to e-mail is recorded" in html
    assert "Send the e-mail now" not in html


def test_every_date_is_one_of_the_sheets_calendar_and_ends_with_the_buyers_page(sold):
    content = SheetContent.from_json(Sheet.objects.get().content)
    rows = CareDate.objects.filter(job=sold)
    for row in content.care:
        laid = sorted(each.due_on for each in rows.filter(code=row.code))
        assert laid == list(calendar.occurrences(row.every_days, content.care_from, len(laid)))
    assert rows.count() > len(content.care)
    with pytest.raises(IntegrityError), transaction.atomic():
        CareDate.objects.create(job=sold, code=rows[0].code, due_on=rows[0].due_on)


def test_a_machine_that_is_here_is_not_on_the_list(demo, sold):
    returns.open_return(demo.act(0), sold, returns.NewReturn("drips"))
    assert care_due.this_week(NOW.date()) == []


@pytest.mark.parametrize(("ended", "listed"), [("GIVEN_BACK", True), ("KEPT", False), ("STRIPPED", False)])
def test_after_a_return_only_what_went_home_is_on_the_list(demo, sold, ended, listed):
    returns.open_return(demo.act(0), sold, returns.NewReturn("drips"))
    Job.objects.filter(first_job=sold).update(closed_at=NOW, closed_by=demo.owner, closed_as=ended)
    assert bool(care_due.this_week(NOW.date())) == listed


def test_one_that_waits_is_not_sent_while_its_machine_is_here(demo, sold, server):
    agree(demo, sold)
    reminders.queue(demo.act(0), NOW.date())
    returns.open_return(demo.act(0), sold, returns.NewReturn("drips"))
    reminders.send_queued(NOW)
    assert CareReminder.objects.get().state == "DROPPED"
    assert outbox.outbox == []


def test_undoing_the_handing_over_takes_the_dates_up(demo, sold):
    row = HandedOver.objects.get()
    HandedOver.objects.update(at=NOW)
    row.refresh_from_db()
    services.take_back_hand_over(demo.act(0), row)
    assert not CareDate.objects.exists()
    assert care_due.this_week(NOW.date()) == []


def test_this_morning_has_a_line_with_what_is_left_to_do(demo, sold):
    def asked():
        page = morning.morning(NOW.date(), shows_money=True)
        return next((question for question in page.questions if question.title == "Care due"), None)

    (row, *_) = asked().rows
    assert row.name == sold.machine.name
    assert "copy the words, or call" in row.words
    assert row.url.startswith(reverse("handover:care_due"))
    for line in care_due.this_week(NOW.date()):
        reminders.tell(demo.act(0), line)
    assert asked() is None


def test_told_is_noted_once_and_undone(demo, sold, ana):
    row = due()
    address = reverse("handover:care_told", args=[sold.machine.slug, row.due_on.isoformat()])
    assert ana.post(address, {"key": "t1"}).status_code == 302
    assert ana.post(address, {"key": "t2"}).status_code == 422
    assert due().done

    undo_entry(demo.act(0), JournalEntry.objects.get(verb="tell_care"))
    assert not CareReminder.objects.exists()


def test_nothing_is_sent_without_a_server_or_a_consent(demo, sold, settings):
    agree(demo, sold)
    settings.EMAIL_HOST = ""
    with pytest.raises(Refused, match="No mail server"):
        reminders.send_now(demo.act(0), due())
    settings.EMAIL_HOST = "mail.example"
    consents.withdraw(demo.act(0), sold, Consent.objects.get())
    with pytest.raises(Refused, match="does not stand"):
        reminders.send_now(demo.act(0), due())
    assert outbox.outbox == []


def test_an_agreed_reminder_goes_once_in_words_of_the_sheet(demo, sold, server):
    agree(demo, sold)
    assert send(demo).state == "SENT"

    (message,) = outbox.outbox
    assert message.to == ["buyer@example.com"]
    assert sold.machine.name in message.subject
    assert message.body.rstrip().endswith("Answer this message and we stop.")
    with pytest.raises(Refused, match="sent once"):
        reminders.send_now(demo.act(0), due())
    with pytest.raises(Refused, match="no e-mail to queue"):
        reminders.queue(demo.act(0), NOW.date())
    assert reminders.send_queued(NOW + timedelta(days=1)) == []
    assert len(outbox.outbox) == 1


def test_the_same_press_twice_is_one_message(demo, sold, server, ana):
    agree(demo, sold)
    address = reverse("handover:care_send", args=[sold.machine.slug, due().due_on.isoformat()])
    assert [ana.post(address, {"key": "s1"}).status_code for _ in range(2)] == [302, 302]
    assert len(outbox.outbox) == 1


def test_two_workers_with_the_same_row_in_hand_send_it_once(demo, sold, server):
    agree(demo, sold)
    reminders.queue(demo.act(0), NOW.date())
    row, again = CareReminder.objects.get(), CareReminder.objects.get()
    reminders._send(demo.act(0), row)
    with pytest.raises(Refused, match="sent before"):
        reminders._send(demo.act(0), again)
    assert len(outbox.outbox) == 1


def test_a_consent_withdrawn_while_it_waits_stops_it(demo, sold, server):
    consent = agree(demo, sold)
    reminders.queue(demo.act(0), NOW.date())
    consents.withdraw(demo.act(0), sold, consent)
    reminders.send_queued(NOW + timedelta(minutes=1))
    assert CareReminder.objects.get().state == "DROPPED"
    assert outbox.outbox == []


def test_a_server_that_refuses_once_gets_it_again_after_a_wait_and_never_a_third_time(demo, sold, settings, ana):
    agree(demo, sold)
    with post() as peer:
        settings.EMAIL_BACKEND, settings.EMAIL_HOST, settings.EMAIL_PORT = SMTP, "127.0.0.1", peer.port
        settings.EMAIL_USE_TLS, settings.DEFAULT_FROM_EMAIL = False, "shed@example.com"
        peer.refuse = [("RCPT", "451 come back later, Buyer@Example.com")]
        reminders.queue(demo.act(0), NOW.date())
        reminders.send_queued(NOW)
        row = CareReminder.objects.get()
        assert (row.state, row.tries, row.next_try_at) == ("QUEUED", 1, NOW + timedelta(minutes=5))
        assert row.why == "The mail server said 451: come back later, the address."
        assert "said 451" in ana.get(reverse("handover:care_due")).content.decode()

        assert reminders.send_queued(NOW + timedelta(minutes=4)) == []
        reminders.send_queued(NOW + timedelta(minutes=5))
        reminders.send_queued(NOW + timedelta(days=3))
        row.refresh_from_db()
        assert (row.state, row.tries, len(peer.taken)) == ("SENT", 2, 1)
    (text,) = peer.taken
    assert "Message-ID: <care-" in text
    assert "To: buyer@example.com" in text


def test_waits_grow_and_end_with_the_reason_shown(demo, sold, settings, ana):
    agree(demo, sold)
    settings.EMAIL_BACKEND, settings.EMAIL_HOST, settings.EMAIL_PORT = SMTP, "127.0.0.1", 9
    settings.EMAIL_USE_TLS, settings.DEFAULT_FROM_EMAIL = False, "shed@example.com"
    reminders.queue(demo.act(0), NOW.date())
    at, waits = NOW, []
    for _ in range(6):
        reminders.send_queued(at)
        row = CareReminder.objects.get()
        waits.append(row.next_try_at and (row.next_try_at - at).total_seconds() / 60)
        at = row.next_try_at or at
    assert waits == [5, 30, 120, 480, 1440, None]
    assert row.state == "FAILED"
    html = ana.get(reverse("handover:care_due")).content.decode()
    assert "The mail server was not reached" in html
    assert "Send the e-mail now" in html


def test_a_permanent_no_is_not_tried_again_by_itself(demo, sold, settings):
    agree(demo, sold)
    with post() as peer:
        settings.EMAIL_BACKEND, settings.EMAIL_HOST, settings.EMAIL_PORT = SMTP, "127.0.0.1", peer.port
        settings.EMAIL_USE_TLS, settings.DEFAULT_FROM_EMAIL = False, "shed@example.com"
        peer.refuse = [("RCPT", "550 no such mailbox")]
        assert send(demo).state == "FAILED"
        assert reminders.send_queued(NOW + timedelta(days=1)) == []
        assert send(demo).state == "SENT"  # pressed again, once the address was mended
        assert len(peer.taken) == 1


def test_a_server_that_goes_silent_after_taking_it_is_never_asked_again(demo, sold, settings):
    agree(demo, sold)
    with post() as peer:
        settings.EMAIL_BACKEND, settings.EMAIL_HOST, settings.EMAIL_PORT = SMTP, "127.0.0.1", peer.port
        settings.EMAIL_USE_TLS, settings.DEFAULT_FROM_EMAIL = False, "shed@example.com"
        peer.silent_after_data = True
        assert send(demo).state == "UNKNOWN"
        assert reminders.send_queued(NOW + timedelta(days=1)) == []
        with pytest.raises(Refused, match="may have gone out"):
            reminders.send_now(demo.act(0), due())
        assert len(peer.taken) == 1


def test_a_claim_left_by_a_server_that_stopped_is_given_up_and_not_sent(demo, sold, server):
    agree(demo, sold)
    reminders.queue(demo.act(0), NOW.date())
    CareReminder.objects.update(state="SENDING")
    assert reminders.send_queued(NOW + timedelta(hours=1)) == []
    assert CareReminder.objects.get().state == "UNKNOWN"
    assert outbox.outbox == []


def test_the_command_sends_and_says_so(demo, sold, server):
    agree(demo, sold)
    reminders.queue(demo.act(0), NOW.date())
    CareReminder.objects.update(next_try_at=NOW - timedelta(days=400))
    said = StringIO()
    call_command("send_reminders", stdout=said)
    assert said.getvalue() == f"{sold.machine.name}: Sent a care reminder by e-mail.\n"


def test_consent_is_recorded_withdrawn_and_never_in_the_journal_in_clear(demo, sold, ana):
    address = reverse("handover:consent_record", args=[sold.machine.slug])
    typed = {"key": "c1", "email": "buyer@example.com", "given_on": "2026-05-10", "how": "PAPER"}
    assert ana.post(address, typed | {"email": "not one"}).status_code == 422
    assert ana.post(address, typed | {"given_on": "2999-05-10", "key": "c0"}).status_code == 422
    assert ana.post(address, typed).status_code == 302
    assert "agreed on 10 May 2026: On a paper they signed" in ana.get(address).content.decode()
    entry = JournalEntry.objects.get(verb="record_consent")
    assert "buyer@example.com" not in f"{entry.sentence}{entry.before}{entry.after}"

    assert ana.post(reverse("handover:consent_withdraw", args=[sold.machine.slug]), {"key": "w"}).status_code == 302
    assert ana.post(address, typed | {"key": "c2"}).status_code == 302
    undo_entry(demo.act(0, demo.owner), JournalEntry.objects.filter(verb="record_consent").latest("pk"))
    assert not consents.stands(sold.reservations.get().buyer)
    buyer = sold.reservations.get().buyer
    twice = [Consent(person=buyer, given_on=NOW.date(), how="PAPER", at=NOW, by=demo.owner) for _ in range(2)]
    with pytest.raises(IntegrityError), transaction.atomic():
        Consent.objects.bulk_create(twice)


def test_the_list_asks_equally_often_for_one_machine_and_for_thirty(sold, ana):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            ana.get(reverse("handover:care_due"))
        return len(queries)

    one = asked()
    sheet = Sheet.objects.get()
    for number in range(29):
        job = Job.objects.get(pk=sold.pk)
        job.pk, job.closed_at = None, NOW
        job.save()
        sheet.pk, sheet.number, sheet.job = None, 100 + number, job
        sheet.save()
        CareDate.objects.create(job=job, code=CareDate.objects.filter(job=sold)[0].code, due_on=NOW.date())
    assert len(care_due.this_week(NOW.date())) >= 30
    assert asked() == one
