"""A machine that came back is opened beside its old record, with both clocks, its cause and its cost."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from demo_fixtures import scenario
from demo_fixtures.steps_prove import read_all
from handover import buyer_links, came_back, clocks, compose, messages, returns
from handover.models import BuyerLink, BuyerMessage, ContactNote, HandedOver, Sheet
from handover.sheet import SheetContent, say_short
from tests.handover.buyers import issue
from tests.house import NOW
from workshop.bench.services import work
from workshop.core.acts import Refused, Stale
from workshop.core.models import Job, JournalEntry, Shop
from workshop.desk import find
from workshop.desk.services import undo_entry
from workshop.pricing import costs
from workshop.trade.care import calendar


@pytest.fixture
def sold(monkeypatch, demo):
    """The machine ready to hand over, sold forty days ago with its sheet."""
    job = Job.objects.for_page().get(pk=scenario.ready_to_hand_over(demo).pk)
    issue(monkeypatch, demo, job)
    Job.objects.filter(pk=job.pk).update(
        closed_at=NOW - timedelta(days=40), closed_by=demo.owner, closed_as="SOLD_PROVED"
    )
    return Job.objects.for_page().get(pk=job.pk)


@pytest.fixture
def sam(demo):
    client = Client()
    client.force_login(demo.technician)
    return client


def open_it(demo, sold, **more):
    told = {"complaint": "It drips from the handle", "asked": (("At which step?", "When I pull a shot"),)}
    returns.open_return(demo.act(0), sold, returns.NewReturn(**(told | more)))
    return Job.objects.for_page().get(first_job=sold, closed_at=None)


def planned_for(day):
    """Let the sale's newest sheet say that it goes on a day."""
    first = Sheet.objects.get()
    content = replace(SheetContent.from_json(first.content), number=2, care_from=day).to_json()
    Sheet.objects.create(
        job=first.job, number=2, content=content, sha256="1" * 64, pages=2, dated=True, by=first.by, at=first.at
    )


def read(client, sold):
    return client.get(reverse("handover:came_back", args=[sold.machine.slug])).content.decode()


def page(sold, back, **more):
    return came_back.page(back, Shop.objects.get(), NOW.date(), shows_money=True, **more)


def test_before_it_comes_in_the_page_asks_and_shows_what_was_promised(sold, ana):
    html = read(ana, sold)

    assert "Water, smoke, a smell of burning, a shock?" in html
    assert "It is here: open the return" in html
    assert "Sheet 1" in html
    assert (
        reverse("handover:came_back", args=[sold.machine.slug])
        in ana.get(sold.machine.get_absolute_url()).content.decode()
    )


def test_the_complaint_begins_with_what_the_buyer_wrote_last_and_nobody_answered(demo, sold, ana):
    link = BuyerLink.objects.get()
    for number, words in enumerate(("It hums.", "It drips.", "It smells."), 1):
        buyer_links.write_to_us(link, NOW, key=f"k{number}", trouble="NOISE", since="today", words=words)
    messages.answer(demo.act(0), sold, BuyerMessage.objects.get(key="k3"), words="Put it right.")

    page_now = ana.get(reverse("handover:came_back", args=[sold.machine.slug]))
    assert page_now.context["open_form"]["complaint"].value() == "It drips."


def test_a_machine_that_was_never_sold_did_not_come_back(demo, ana):
    scenario.at_clean(demo)
    job = Job.objects.open().get()
    assert ana.get(reverse("handover:came_back", args=[job.machine.slug])).status_code == 404
    with pytest.raises(Refused, match="in the workshop already"):
        returns.open_return(demo.act(0), job, returns.NewReturn("drips"))


def test_one_press_opens_it_once_and_the_phone_call_is_kept(sold, ana):
    address = reverse("handover:return_open", args=[sold.machine.slug])
    typed = {"key": "r1", "complaint": "It drips from the handle", "changed": "new coffee", "place": "Wet bench"}
    assert ana.post(address, typed).status_code == 302
    assert ana.post(address, typed).status_code == 302

    back = Job.objects.get(first_job=sold)
    assert (back.kind, back.complaint, back.machine.place.name) == (
        "CAME_BACK",
        "It drips from the handle",
        "Wet bench",
    )
    note = ContactNote.objects.get()
    assert "new coffee" in note.asked
    assert note.person == sold.reservations.get().buyer
    entry = JournalEntry.objects.get(verb="open_return")
    assert "drips" not in entry.sentence
    assert find.find("drips handle").hits[0].name == sold.machine.name
    assert ana.post(address, typed | {"key": "r2"}).status_code == 422
    assert ana.post(address, {"key": "r3"}).status_code == 422


def test_opening_it_is_undone_while_nothing_was_done(demo, sold, ana):
    back = open_it(demo, sold)
    entry = JournalEntry.objects.get(verb="open_return")
    undo = reverse("undo", args=[entry.pk])
    assert undo in ana.get(sold.machine.get_absolute_url()).content.decode()

    work.add_work(demo.act(0), back, station="MEND", what="New seal", minutes=20, part=None)
    with pytest.raises(Refused, match="Something was done"):
        undo_entry(demo.act(0), entry)
    assert Job.objects.filter(pk=back.pk).exists()


def test_after_the_undo_it_is_sold_as_before_and_can_come_back_again(demo, sold, ana):
    open_it(demo, sold)
    entry = JournalEntry.objects.get(verb="open_return")
    undo_entry(demo.act(0), entry)

    assert not Job.objects.filter(first_job=sold).exists()
    assert costs.returns().claims == 0
    record = ana.get(reverse("machine_record", args=[sold.machine.slug])).content.decode()
    assert "did not come back after all" in record
    assert reverse("undo", args=[entry.pk]) not in record
    with pytest.raises(Refused, match="undone already"):
        undo_entry(demo.act(0), entry)
    open_it(demo, sold)


def test_readings_of_the_sale_stand_beside_those_of_the_return(demo, sold, ana):
    back = open_it(demo, sold)
    before = {pair.what: pair for pair in page(sold, back).pairs}
    assert {pair.now for pair in before.values()} == {"not yet"}
    assert any("ohm" in pair.then for pair in before.values())

    assert "Before it comes in" not in read(ana, sold)
    read_all(demo, 0, back)
    after = {pair.what: pair for pair in page(sold, back).pairs}
    earth = next(pair for what, pair in after.items() if "arth" in what)
    assert "ohm" in earth.then
    assert "ohm" in earth.now
    html = read(ana, sold)
    assert "Readings then and now" in html
    assert earth.limit in html


def test_both_clocks_count_from_the_day_the_buyer_got_it(demo, sold):
    shop = Shop.objects.get()
    planned_for(date(2026, 4, 4))
    rows = clocks.clocks(sold, shop, NOW.date()).rows

    # Got 4 April 2026, back 14 May: 30 days ended 4 May; six months end 4 October; 12 months' warranty 4 April 2027.
    assert [(row.whose, row.until, row.runs) for row in rows] == [
        ("Our warranty", "4 April 2027", True),
        ("The law", "4 May 2026", False),
        ("The law", "4 October 2026", True),
        ("The law", "4 April 2032", True),
    ]
    assert rows[1].state == "ended 10 days before"
    assert "read second-hand" in rows[1].source


@pytest.mark.parametrize(("planned", "until"), [(7, "7 April 2027"), (1, "4 April 2027")])
def test_our_warranty_runs_to_the_later_of_the_end_printed_and_the_end_counted(demo, sold, ana, planned, until):
    planned_for(date(2026, 4, planned))
    back = open_it(demo, sold)
    days_left = (date(2027, 4, max(planned, 4)) - NOW.date()).days

    html = read(ana, sold)
    assert html.count(until) == 1
    assert ("the later day holds" in html) == (planned == 7)
    assert "The sheet says" not in html
    assert f"Our warranty: {days_left} days left" in came_back.in_short([back], Shop.objects.get())[back.pk]


def test_a_place_whose_rule_was_not_seen_says_so(sold):
    shop = Shop.objects.get()
    shop.country = "JP"
    found = clocks.clocks(sold, shop, NOW.date())

    assert [row.whose for row in found.rows] == ["Our warranty"]
    assert "not known to us" in found.notes[0]


def test_the_cause_is_named_shown_and_undone(demo, sold, ana):
    back = open_it(demo, sold)
    address = reverse("handover:cause_say", args=[sold.machine.slug])
    assert ana.post(address, {"key": "c0", "seen": ""}).status_code == 422
    typed = {"key": "c1", "cause": "CHANGED_MIND", "cause_words": "too big for the shelf", "seen": ""}
    assert ana.post(address, typed).status_code == 302

    back.refresh_from_db()
    assert back.cause == "CHANGED_MIND"
    html = read(ana, sold)
    assert "pay back the price" in html
    assert "What should have caught it?" not in html
    with pytest.raises(Stale):
        returns.say_cause(demo.act(0), back, cause="FAULT", words="", seen="")
    assert ana.post(address, typed | {"key": "c2", "cause": "FAULT"}).status_code == 409

    undo_entry(demo.act(0), JournalEntry.objects.get(verb="say_cause"))
    back.refresh_from_db()
    assert (back.cause, back.cause_words) == ("", "")


def test_what_it_cost_counts_in_the_reserve_once_it_ended_and_only_for_a_fault(demo, sold):
    shop = Shop.objects.get()
    shop.hourly_rate_minor, shop.overhead_minor_per_h, shop.mean_claim_minor = 2400, 600, 8500
    stated = costs.mean_claim_minor(costs.returns(), shop)
    back = open_it(demo, sold)
    work.add_work(demo.act(0), back, station="MEND", what="New seal", minutes=120, part=None)
    assert stated == 8500 == costs.mean_claim_minor(costs.returns(), shop)
    assert costs.of_jobs([back.pk], shop)[back.pk].cost.reserve_minor == 0

    Job.objects.filter(pk=back.pk).update(closed_at=NOW, closed_by=demo.owner, closed_as="GIVEN_BACK", cause="FAULT")
    seen = costs.returns()
    assert (seen.claims, seen.ended, seen.minutes) == (1, 1, 120)
    assert came_back.page(Job.objects.get(pk=back.pk), shop, NOW.date(), shows_money=True).cost_words.endswith(
        "Its cost counts in that."
    )
    # 2 h at 24.00 and 6.00 are 60.00; three stated at 85.00 and one own at 60.00: 315.00 / 4
    assert costs.mean_claim_minor(seen, shop) == 7875

    Job.objects.filter(pk=back.pk).update(cause="CARRIAGE")
    assert costs.returns() == costs.Returns(0, seen.sold)


def test_a_technician_sees_no_money(demo, sold, ana, sam):
    open_it(demo, sold)

    assert "What this return costs us" in read(ana, sold)
    assert "What this return costs us" not in read(sam, sold)
    assert sam.get(reverse("handover:came_back", args=[sold.machine.slug])).status_code == 200


def test_the_page_asks_equally_often_after_one_return_and_after_five(demo, sold, ana):
    def asked():
        with CaptureQueriesContext(connection) as queries:
            read(ana, sold)
        return len(queries)

    def end(back):
        Job.objects.filter(pk=back.pk).update(closed_at=NOW, closed_by=demo.owner, closed_as="GIVEN_BACK")

    end(open_it(demo, sold))
    open_it(demo, sold)
    one = asked()
    for _ in range(4):
        end(Job.objects.get(first_job=sold, closed_at=None))
        open_it(demo, sold)
    assert asked() == one


def test_it_is_its_buyers_so_it_is_not_sold_again_and_goes_home_as_given_back(demo, sold, ana):
    back = open_it(demo, sold)
    html = ana.get(reverse("handover:handover", args=[sold.machine.slug])).content.decode()

    assert "Reserve it for a buyer" not in html
    assert reverse("pricing:give_back", args=[sold.machine.slug]) in html
    decide = ana.get(reverse("pricing:decide", args=[sold.machine.slug])).content.decode()
    assert 'value="STRIP"' not in decide
    assert 'value="GIVE_BACK"' in decide
    assert back.closed_at is None


def test_the_second_sheet_is_the_next_number_and_keeps_the_buyers_calendar(monkeypatch, demo, sold):
    first = SheetContent.from_json(Sheet.objects.get().content)
    back = open_it(demo, sold)
    later = compose.sheet(back, number=2, issued_on=NOW.date() + timedelta(days=300))

    assert (later.care_from, later.language) == (first.care_from, first.language)
    assert [row.code for row in later.care] == [row.code for row in first.care]
    for then, now in zip(first.care, later.care, strict=True):
        due = calendar.next_on(now.every_days, later.care_from, later.issued_on)
        assert now.first == say_short(due)
        assert now.every_days == then.every_days
    assert compose.next_number() == 2


def test_this_morning_says_what_ran_that_day_and_leads_to_then_and_now(demo, sold, ana):
    planned_for(date(2026, 4, 4))
    open_it(demo, sold)
    html = ana.get(reverse("home")).content.decode()

    assert "“It drips from the handle” Our warranty: 325 days left, the law takes the fault as there" in html
    assert reverse("handover:came_back", args=[sold.machine.slug]) in html


def test_sold_at_a_distance_the_page_says_until_when_they_may_cancel(demo, sold, ana):
    sold.reservations.update(sold_how="DISTANCE")
    HandedOver.objects.create(job=sold, sheet=Sheet.objects.get(), by=demo.owner, at=NOW - timedelta(days=40))

    assert "Sold at a distance. They" in read(ana, sold)
