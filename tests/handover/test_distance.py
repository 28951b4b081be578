"""Agreed at a distance: the last day to cancel, what it rests on, the paper, and where it is shown."""

import io
from datetime import date

import pypdf
import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from handover import cancel_paper, clocks, distance, distance_rows, privacy, services, stations
from handover.models import DistanceNote, HandedOver
from handover.words import DistanceFact, GoesBy, SoldHow
from tests.factories import JobFactory
from tests.handover.distances import LEFT, at_noon, cancelled, leave, reserved
from workshop.core import http
from workshop.core import stations as core_stations
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry
from workshop.desk import morning
from workshop.desk.services import undo_entry
from workshop.desk.undo import undoable
from workshop.pricing import balances, odds, owed
from workshop.pricing import services as pricing


def test_in_person_there_is_nothing_to_cancel(owner, shop, acting):
    row = leave(owner, reserved(owner, SoldHow.PERSON))

    assert distance.of(row) is None
    assert distance.running(LEFT) == []
    with pytest.raises(Refused, match="agreed in person"):
        distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)


def test_the_days_count_from_the_day_we_brought_it(owner, row, acting):
    distance.note(acting(date(2026, 2, 20)), row, DistanceFact.PAPER, date(2026, 2, 20))
    assert distance.of(row).until is None  # still here
    leave(owner, row)

    assert distance.of(row).until == date(2026, 3, 16)  # 14 days after Monday 2 March (L-01)


def test_by_carrier_they_count_from_the_day_it_arrived(owner, shop, acting):
    row = leave(owner, reserved(owner, goes_by=GoesBy.CARRIER))
    distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)
    assert distance.of(row).until is None
    distance.note(acting(date(2026, 3, 5)), row, DistanceFact.ARRIVED, date(2026, 3, 4))

    assert distance.of(row).until == date(2026, 3, 18)
    assert clocks.got_on(row.job) == date(2026, 3, 4)


def test_without_the_paper_the_time_runs_a_year_longer_and_it_does_not_leave(owner, row):
    assert distance.of(row).wants_paper
    leave(owner, row)

    assert distance.of(row).until == date(2027, 3, 16)
    assert "do not have the paper" in distance_rows.state(distance.of(row), LEFT)


def test_in_the_union_a_weekend_moves_the_last_day(owner, shop, acting):
    shop.country = "DE"
    shop.save()
    row = leave(owner, reserved(owner), date(2026, 3, 7))
    distance.note(acting(date(2026, 3, 7)), row, DistanceFact.PAPER, date(2026, 3, 7))

    assert distance.of(row).until == date(2026, 3, 23)  # Saturday 21 March moves to Monday (L-05)


def test_a_day_taken_back_counts_no_more_and_is_undone_from_the_record(owner, row, acting):
    entry = distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)
    undo_entry(acting(LEFT), entry)

    assert distance.of(row).told_on is None
    with pytest.raises(Refused, match="taken back already"):
        distance.take_back(acting(LEFT), row, DistanceFact.PAPER)


def test_undoing_a_first_noting_leaves_the_one_that_came_after_it(owner, row, acting):
    first = distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)
    distance.take_back(acting(LEFT), row, DistanceFact.PAPER)
    assert undoable([first], owner) == set()
    with pytest.raises(Refused, match="taken back already"):
        undo_entry(acting(LEFT), first)
    distance.note(acting(LEFT), row, DistanceFact.PAPER, date(2026, 3, 1))

    with pytest.raises(Refused, match="noted anew since"):
        undo_entry(acting(LEFT), first)
    assert distance.of(row).told_on == date(2026, 3, 1)


@pytest.mark.parametrize(
    ("fact", "on", "words"),
    [
        (DistanceFact.ARRIVED, date(2026, 3, 1), "It left on 2 Mar"),
        (DistanceFact.ARRIVED, date(2026, 3, 20), "still to come"),
        (DistanceFact.CANCELLED, date(2026, 3, 17), "Their time ended on 16 Mar"),
        (DistanceFact.CANCELLED, date(2026, 2, 19), "It was agreed on 20 Feb"),
    ],
)
def test_a_day_that_cannot_be_is_refused(owner, row, acting, fact, on, words):
    distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)
    leave(owner, row)

    with pytest.raises(Refused, match=words):
        distance.note(acting(date(2026, 3, 18)), row, fact, on)
    assert not DistanceNote.objects.filter(fact=fact).exists()


def test_no_paper_is_given_before_the_machine_came_but_it_may_be_with_the_offer(row, acting):
    row.job.opened_at = at_noon(date(2026, 2, 10))
    row.job.save()
    with pytest.raises(Refused, match="The machine came here on 10 Feb"):
        distance.note(acting(LEFT), row, DistanceFact.PAPER, date(2026, 2, 9))
    distance.note(acting(LEFT), row, DistanceFact.PAPER, date(2026, 2, 18))

    assert distance.of(row).told_on == date(2026, 2, 18)


def test_it_did_not_arrive_before_it_left(row, acting):
    with pytest.raises(Refused, match="not been handed over"):
        distance.note(acting(LEFT), row, DistanceFact.ARRIVED, LEFT)


def test_on_the_last_day_their_word_is_kept(owner, row, acting):
    distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)
    leave(owner, row)
    last = date(2026, 3, 16)
    distance.note(acting(last), row, DistanceFact.CANCELLED, last, "in a message")

    assert (distance.of(row).cancelled_on, distance.of(row).cancelled_words) == (last, "in a message")
    assert "They cancelled on 16 Mar" in distance_rows.state(distance.of(row), last)
    assert "in a message" not in JournalEntry.objects.latest("pk").sentence


def owing():
    return [(line.amount_minor, line.to_us) for line in owed.lines()]


def test_from_their_word_on_what_they_paid_is_owed_to_them_until_it_is_given_back(owner, row, acting, client_in):
    cancelled(owner, row, acting)
    assert owing() == [(8000, False)]
    payments = reverse("pricing:payments", args=[row.job.machine.slug])
    assert "To give back" in client_in.get(payments).content.decode()

    pricing.record_payment(acting(date(2026, 3, 6)), row.sale, -8000, "bank")

    assert owing() == []
    assert "To come" not in client_in.get(payments).content.decode()
    row.sale.refresh_from_db()
    assert row.sale.settled


def test_their_word_taken_back_the_sale_stands_again(owner, row, acting):
    entry = cancelled(owner, row, acting)
    to_come = row.sale.price_minor - 8000

    undo_entry(acting(date(2026, 3, 5)), entry)

    assert owing() == [(to_come, True)]
    assert balances.balance([row.job.pk])[row.job.pk].to_come_minor == to_come


def test_a_second_day_of_their_word_changes_nothing_in_the_sums(owner, row, acting):
    cancelled(owner, row, acting)
    distance.note(acting(date(2026, 3, 6)), row, DistanceFact.CANCELLED, date(2026, 3, 4))

    assert owing() == [(8000, False)]


def test_a_cancelled_sale_tells_no_price_and_its_buyer_is_still_who_took_it(owner, row, acting, client_in):
    cancelled(owner, row, acting)
    notes = row.job.machine.notes

    assert odds.evidence(notes, notes.kind).fetched is None
    assert privacy._jobs(row.buyer).exists()
    assert client_in.get(row.job.machine.get_absolute_url()).status_code == 200
    assert client_in.get(url("handover", row)).status_code == 200


def test_before_it_left_the_reservation_is_cancelled_instead(row, acting):
    with pytest.raises(Refused, match="cancel the reservation instead"):
        distance.note(acting(LEFT), row, DistanceFact.CANCELLED, LEFT)
    row.sale.refresh_from_db()
    assert row.sale.cancelled_at is None


def test_not_handed_over_after_all_it_did_not_arrive_either(owner, shop, acting):
    row = leave(owner, reserved(owner, goes_by=GoesBy.CARRIER))
    distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)
    distance.note(acting(LEFT), row, DistanceFact.ARRIVED, LEFT)

    services.take_back_hand_over(acting(LEFT), HandedOver.objects.get())
    leave(owner, row, date(2026, 3, 4))

    assert distance.of(row).arrived_on is None
    assert distance.of(row).until is None
    assert distance.of(row).told_on == LEFT


def test_while_their_word_stands_it_was_handed_over(owner, row, acting):
    leave(owner, row)
    distance.note(acting(LEFT), row, DistanceFact.CANCELLED, LEFT)

    with pytest.raises(Refused, match="They said that they cancel"):
        services.take_back_hand_over(acting(LEFT), HandedOver.objects.get())
    assert HandedOver.objects.get().withdrawn_at is None


def test_back_with_us_after_their_word_it_is_ours_again_on_every_page(owner, row, acting, client_in):
    cancelled(owner, row, acting)
    JobFactory(machine=row.job.machine, kind="CAME_BACK", cause="CHANGED_MIND", first_job=row.job)
    slug = row.job.machine.slug

    for name in ("handover:handover", "handover:came_back", "pricing:decide"):
        page = client_in.get(reverse(name, args=[slug])).content.decode()
        assert "it is yours again. End this return as kept, then log it again." in page, name
        for wrong in ("its buyer: there", "back to its buyer", "belongs to its buyer", "Open Came back"):
            assert wrong not in page, (name, wrong)


def test_a_place_without_the_right_keeps_no_word_of_it(owner, shop, acting):
    shop.country = "NZ"
    shop.save()
    row = leave(owner, reserved(owner))

    assert distance.of(row).until is None
    assert not distance.of(row).wants_paper
    with pytest.raises(Refused, match="no right to cancel a sale the buyer asked for"):
        distance.note(acting(LEFT), row, DistanceFact.CANCELLED, LEFT)


def test_the_database_keeps_no_words_with_a_day_taken_back(row, owner):
    for wrong in ({"fact": "ARRIVED", "words": "x"}, {"fact": "LOST", "on": LEFT}):
        with pytest.raises(IntegrityError), transaction.atomic():
            DistanceNote.objects.create(reservation=row, by=owner, at=at_noon(LEFT), **wrong)


def test_this_morning_names_who_may_cancel_until_when_and_no_longer(owner, row, acting):
    distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)
    leave(owner, row)

    def asked(day):
        return [q for q in morning.morning(day, shows_money=True).questions if q.title == "May cancel"]

    (question,) = asked(date(2026, 3, 16))
    assert question.rows[0].words.startswith("They may cancel until 16 Mar")
    assert question.rows[0].name == row.job.machine.name
    assert asked(date(2026, 3, 17)) == []

    distance.note(acting(date(2026, 3, 17)), row, DistanceFact.CANCELLED, date(2026, 3, 16))
    (question,) = asked(date(2026, 3, 17))  # until it is here
    assert question.rows[0].words == "They cancelled on 16 March 2026. Open Came back when it is here."


def test_one_that_came_back_is_not_asked_about(owner, row):
    leave(owner, row)
    assert len(distance.running(LEFT)) == 1
    JobFactory(machine=row.job.machine, kind="CAME_BACK", first_job=row.job)

    assert distance.running(LEFT) == []


def test_thirty_of_them_cost_as_many_queries_as_one(owner, shop, acting):
    counts = []
    for number in range(1, 31):
        leave(owner, reserved(owner))
        if number in (1, 30):
            with CaptureQueriesContext(connection) as asked:
                assert len(distance_rows.morning(LEFT)) == number
            counts.append(len(asked))
    assert counts[0] == counts[1]


def text_of(pdf):
    return " ".join(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


@pytest.mark.parametrize(
    ("country", "says", "form"),
    [
        ("GB", ["14 days", "or your proof that you sent it, reaches us"], True),
        ("DE", ["14 days", "Saturday, a Sunday or a public holiday", "after you tell us"], True),
        ("NZ", ["no general right to cancel"], False),
        ("CH", ["ask local advice"], False),
    ],
)
def test_the_paper_says_what_the_place_says_and_names_no_buyer(owner, shop, country, says, form):
    shop.country = country
    shop.save()
    row = reserved(owner)
    text = text_of(cancel_paper.draw(cancel_paper.compose(row)))

    assert [words for words in says if words not in text] == []
    assert ("I cancel my contract" in text) is form
    assert row.buyer.name not in text
    assert shop.name in text


def test_the_paper_names_the_last_day_once_it_is_known(owner, row, acting):
    distance.note(acting(LEFT), row, DistanceFact.PAPER, LEFT)
    leave(owner, row)

    assert "you may cancel until 16 March 2026" in text_of(cancel_paper.draw(cancel_paper.compose(row)))


def test_handing_over_asks_for_the_paper_first(row):
    standing = core_stations.one(stations.STATION, row.job_id)
    told = "They agreed at a distance: give them the cancellation paper, and say so."
    assert told in stations.blocks(row.job, standing, LEFT, owed_words="")


@pytest.fixture
def day(monkeypatch):
    monkeypatch.setattr(http, "today", lambda: date(2026, 3, 3))


def url(name, row, *more):
    return reverse(f"handover:{name}", args=[row.job.machine.slug, *more])


def test_on_screen_paper_arrival_and_word_are_kept_and_taken_back(client_in, owner, shop, day):
    row = reserved(owner, goes_by=GoesBy.CARRIER)
    page = client_in.get(url("handover", row)).content.decode()
    assert "Agreed at a distance" in page
    assert "They have the paper" in page
    kept = client_in.post(url("distance_note", row, "paper"), {"on": "2026-03-01", "key": "p"})
    assert kept["Location"].endswith("#distance")
    leave(owner, row)

    page = client_in.get(url("handover", row)).content.decode()
    assert "say when it arrived" in page
    empty = client_in.post(url("distance_note", row, "arrived"), {"on": ""})
    assert empty.status_code == 422
    assert "Choose the day." in empty.content.decode()
    client_in.post(url("distance_note", row, "arrived"), {"on": "2026-03-03", "key": "a"})
    page = client_in.get(url("handover", row)).content.decode()
    assert "They may cancel until 17 Mar" in page
    assert "May cancel" in client_in.get(row.job.machine.get_absolute_url()).content.decode()

    client_in.post(url("distance_take_back", row, "arrived"), {"key": "u"})
    assert "say when it arrived" in client_in.get(url("handover", row)).content.decode()
    assert client_in.post(url("distance_note", row, "eaten"), {"on": "2026-03-03"}).status_code == 404


def test_the_paper_of_a_sale_in_person_is_not_there(client_in, owner, shop):
    row = reserved(owner, SoldHow.PERSON)

    assert client_in.get(url("cancel_paper_pdf", row)).status_code == 404
    assert "Agreed at a distance" not in client_in.get(url("handover", row)).content.decode()
