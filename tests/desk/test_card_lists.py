"""What each item caught and missed, which of them may go, and what should have caught a machine that came back."""

import re
from datetime import timedelta
from typing import Any

import pytest

from tests.bench import factories
from tests.conftest import NOON
from workshop.bench import card_lists, escapes, removals, stations
from workshop.bench.models import Escape, ItemRemoval
from workshop.bench.services import escapes as escape_services
from workshop.bench.services import removals as removal_services
from workshop.bench.words import Missed
from workshop.core.acts import Refused
from workshop.core.models import Job, JournalEntry, Reading
from workshop.desk.undo import UNDO


def text(html: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))


@pytest.fixture
def kettle(shop: Any) -> Job:
    for kind in ("GAUGE", "TIMER", "WATT"):
        factories.InstrumentFactory(kind=kind)
    return factories.KettleJobFactory()


def ended(notes: Any, owner: Any, count: int, *, outcome: str = "PASS", item: str = "pressure") -> list[Job]:
    jobs = []
    for _ in range(count):
        job = factories.KettleJobFactory(machine__notes=notes, closed_at=NOON, closed_by=owner, closed_as="SOLD_PROVED")
        Reading.objects.create(job=job, card="water", item=item, title="It", outcome=outcome, by=owner, at=NOON)
        jobs.append(job)
    return jobs


def line(code: str) -> card_lists.Line:
    found = card_lists.lists().line(code)
    assert found is not None
    return found


def test_an_empty_workshop_has_counted_nothing(client_in: Any) -> None:
    page = text(client_in.get("/card-lists/").content.decode())
    assert "nothing is counted so far" in page
    assert "A worn pump or a mis-set valve makes thin coffee at any grind." in page
    assert "Ask it no longer" not in page


def test_catches_are_units_that_failed_before_they_passed(kettle: Job, owner: Any, act: Any) -> None:
    notes = kettle.machine.notes
    ended(notes, owner, 2)
    (failed,) = ended(notes, owner, 1, outcome="FAIL")
    for _ in range(2):
        Reading.objects.create(job=failed, card="water", item="pressure", title="It", outcome="FAIL", by=owner, at=NOON)
    slip = Reading.objects.create(
        job=ended(notes, owner, 1)[0], card="water", item="pressure", title="It", outcome="FAIL", by=owner, at=NOON
    )
    Reading.objects.create(
        job=slip.job, card="water", item="pressure", title="It", outcome="FAIL", by=owner, at=NOON,
        corrects=slip, struck=True,
    )  # fmt: skip
    assert line("pressure").counts == "Asked on 4 units, caught 1, missed nothing"


def test_each_cut_out_counts_under_one_line(kettle: Job, owner: Any) -> None:
    ended(kettle.machine.notes, owner, 1, item="part-boiler-cut-out", outcome="FAIL")
    assert line("safety_parts").catches == 1


@pytest.mark.parametrize(("jobs", "few"), [(29, True), (30, False)])
def test_under_thirty_ended_jobs_no_rate_is_told(kettle: Job, owner: Any, client_in: Any, jobs: int, few: bool) -> None:
    ended(kettle.machine.notes, owner, 1, outcome="FAIL")
    ended(kettle.machine.notes, owner, jobs - 1)
    page = text(client_in.get("/card-lists/").content.decode())
    assert ("too few to say how often" in page) is few
    assert ("one catch in 30 units" in page) is not few


# --- an item that shows nothing ----------------------------------------------------------------------------


def test_after_fifty_quiet_units_the_owner_may_take_an_item_off_and_ask_it_again(
    kettle: Job, owner: Any, client_in: Any
) -> None:
    ended(kettle.machine.notes, owner, 50)
    assert "pressure" in {s.item.code for s in stations.PROVE.facts([kettle.pk])[kettle.pk].asked()}
    for _ in range(2):
        assert client_in.post("/card-lists/pressure/remove/", {"key": "k"}).status_code == 302
    assert ItemRemoval.objects.count() == 1
    facts = stations.PROVE.facts([kettle.pk])[kettle.pk]
    assert "pressure" not in facts.states
    page = text(client_in.get("/card-lists/").content.decode())
    assert "Asked no longer in this workshop." in page
    assert client_in.post("/card-lists/pressure/ask-again/").status_code == 302
    assert "pressure" in stations.PROVE.facts([kettle.pk])[kettle.pk].states


def test_what_this_machine_was_read_for_stays_on_its_cards(kettle: Job, owner: Any, act: Any) -> None:
    ended(kettle.machine.notes, owner, 50)
    Reading.objects.create(job=kettle, card="water", item="pressure", title="It", outcome="FAIL", by=owner, at=NOON)
    removal_services.ask_no_longer(act(), "pressure")
    assert "pressure" in stations.PROVE.facts([kettle.pk])[kettle.pk].states


@pytest.mark.parametrize("code", ["leak_hot", "ready", "nonsense"])
def test_a_stop_item_or_one_asked_too_seldom_stays(kettle: Job, owner: Any, act: Any, code: str) -> None:
    ended(kettle.machine.notes, owner, 50, item="leak_hot")
    ended(kettle.machine.notes, owner, 49, item="ready")
    with pytest.raises(Refused):
        removal_services.ask_no_longer(act(), code)
    assert not ItemRemoval.objects.exists()


def test_a_stop_item_is_asked_even_where_a_row_says_otherwise(kettle: Job, owner: Any) -> None:
    ItemRemoval.objects.create(item="leak_hot", title="Leak", removed=True, by=owner, at=NOON)
    assert "leak_hot" in stations.PROVE.facts([kettle.pk])[kettle.pk].states


def test_taking_an_item_off_is_undone_from_the_record(kettle: Job, owner: Any, act: Any) -> None:
    ended(kettle.machine.notes, owner, 50)
    entry = removal_services.ask_no_longer(act(), "pressure")
    UNDO["ask_no_longer"](act(), entry)
    assert removals.removed() == frozenset()
    with pytest.raises(Refused, match="asked already"):
        removal_services.ask_again(act(), "pressure")


def test_only_the_owner_takes_an_item_off(kettle: Job, owner: Any, technician_in: Any) -> None:
    ended(kettle.machine.notes, owner, 50)
    assert technician_in.post("/card-lists/pressure/remove/").status_code == 403
    page = technician_in.get("/card-lists/").content.decode()
    assert "The owner may take it off." in page
    assert "Ask it no longer" not in page


def test_the_lists_ask_equally_often_for_one_job_and_for_thirty(
    kettle: Job, owner: Any, django_assert_num_queries: Any
) -> None:
    ended(kettle.machine.notes, owner, 1)
    with django_assert_num_queries(5):
        card_lists.lists()
    ended(kettle.machine.notes, owner, 29)
    with django_assert_num_queries(5):
        card_lists.lists()


# --- what should have caught it ----------------------------------------------------------------------------


@pytest.fixture
def returned(kettle: Job, owner: Any) -> Job:
    kettle.closed_at, kettle.closed_by, kettle.closed_as = NOON, owner, "SOLD_PROVED"
    kettle.save()
    return Job.objects.create(
        machine=kettle.machine,
        kind="CAME_BACK",
        first_job=kettle,
        complaint="It drips",
        opened_at=NOON + timedelta(days=9),
    )


def test_a_return_asks_which_check_should_have_caught_it_and_holds_nothing_up(client_in: Any, returned: Job) -> None:
    machine = returned.machine.slug
    assert "Nobody said yet which check" in client_in.get(f"/machines/{machine}/").content.decode()
    assert "nobody said yet which check" in client_in.get(f"/machines/{machine}/mend/").content.decode()
    assert not [u for u in stations.MEND.unmet(stations.MEND.facts([returned.pk])[returned.pk]) if "check" in u.code]
    asked = client_in.get(f"/machines/{machine}/escape/").content.decode()
    assert "Leak after 30 minutes hot" in asked
    for _ in range(2):
        response = client_in.post(f"/machines/{machine}/escape/", {"choice": "drip_cold", "key": "k"})
        assert response.status_code == 302
    assert Escape.objects.get().item == "drip_cold"
    assert line("drip_cold").misses == 1
    assert "Drip when it stands cold" in client_in.get(f"/machines/{machine}/").content.decode()
    assert "nobody said yet which check" not in client_in.get(f"/machines/{machine}/mend/").content.decode()


def test_no_check_wants_words_and_they_are_told_on_the_lists(client_in: Any, returned: Job) -> None:
    url = f"/machines/{returned.machine.slug}/escape/"
    refused = client_in.post(url, {"choice": "NO_CHECK", "words": ""})
    assert refused.status_code == 422
    assert not Escape.objects.exists()
    client_in.post(url, {"choice": "NO_CHECK", "words": "the lid rattles"})
    assert "the lid rattles" in client_in.get("/card-lists/").content.decode()


@pytest.mark.parametrize("choice", ["", "nonsense"])
def test_an_answer_that_is_none_is_refused(client_in: Any, returned: Job, choice: str) -> None:
    response = client_in.post(f"/machines/{returned.machine.slug}/escape/", {"choice": choice, "words": "drips"})
    assert response.status_code == 422
    assert "drips" in response.content.decode()
    assert not Escape.objects.exists()


def test_the_newest_answer_counts_and_is_taken_back(returned: Job, act: Any) -> None:
    escape_services.answer(act(), returned, missed=Missed.CHECK, item="drip_cold")
    entry = escape_services.answer(act(at=NOON + timedelta(hours=1)), returned, missed=Missed.NOT_A_FAULT)
    assert line("drip_cold").misses == 0
    UNDO["answer_escape"](act(at=NOON + timedelta(hours=2)), entry)
    assert escapes.answers([returned.pk])[returned.pk].item == "drip_cold"
    assert JournalEntry.objects.filter(verb="take_back").count() == 1


def test_a_machine_that_did_not_come_back_is_not_asked(client_in: Any, kettle: Job, act: Any) -> None:
    assert client_in.get(f"/machines/{kettle.machine.slug}/escape/").status_code == 404
    with pytest.raises(Refused, match="did not come back"):
        escape_services.answer(act(), kettle, missed=Missed.NOT_A_FAULT)


def test_a_check_that_missed_something_is_never_offered_for_removal(kettle: Job, owner: Any, act: Any) -> None:
    jobs = ended(kettle.machine.notes, owner, 50)
    back = Job.objects.create(machine=jobs[0].machine, kind="CAME_BACK", first_job=jobs[0], opened_at=NOON)
    assert line("pressure").offered
    escape_services.answer(act(), back, missed=Missed.CHECK, item="pressure")
    assert not line("pressure").offered
