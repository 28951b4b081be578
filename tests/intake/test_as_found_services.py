"""Answers of the as-found card: rows that stay, findings that follow, the bag, and what was seen at the seller's."""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction

from intake import facts, services, stations
from intake.models import AsFound, Bag, Finding, SeenRunning
from intake.undo import UNDO
from intake.words import AsFoundAnswer, AsFoundItem, FindingEnd, NothingOf
from tests.conftest import NOON
from tests.factories import JobFactory
from tests.intake import factories
from workshop.core.acts import AlreadyDone, Refused
from workshop.core.models import JournalEntry

WORKS, FAULT, UNSURE = AsFoundAnswer.WORKS, AsFoundAnswer.FAULT, AsFoundAnswer.CANNOT_TELL
BUTTON_STUCK = "A button is stuck"


def given(answer, words="", item=AsFoundItem.BUTTONS):
    said = {WORKS: "Buttons move", FAULT: BUTTON_STUCK, UNSURE: "Buttons: cannot tell yet"}[answer]
    return services.Answered(item, answer, said, words)


@pytest.fixture
def answer(act, job):
    return lambda *args, **kwargs: services.answer_as_found(act(), job, given(*args, **kwargs))


def standing(job):
    return {row.item: row.answer for row in AsFound.objects.current().filter(job=job)}


def findings(job):
    return list(Finding.objects.filter(job=job).order_by("pk").values_list("words", "end"))


def test_what_does_not_work_becomes_a_finding_in_the_buttons_words_and_the_persons(answer, job, owner):
    entry = answer(FAULT, "the left one")

    row = AsFound.objects.get()
    assert (row.item, row.answer, row.by, row.at) == ("buttons", "FAULT", owner, NOON)
    assert findings(job) == [("A button is stuck: the left one", "OPEN")]
    assert Finding.objects.get().answer == row
    assert entry.sentence == "As found: a button is stuck: the left one"


@pytest.mark.parametrize("calm", [WORKS, UNSURE])
def test_what_works_or_cannot_be_told_is_kept_and_becomes_no_finding(answer, job, calm):
    answer(calm)

    assert standing(job) == {"buttons": calm}
    assert findings(job) == []


def test_answering_again_is_a_new_row_that_names_the_old_one(answer, job):
    answer(UNSURE)
    answer(WORKS)
    answer(FAULT)

    first, second, third = AsFound.objects.order_by("pk")
    assert (second.corrects, third.corrects) == (first, second)
    assert standing(job) == {"buttons": "FAULT"}


def test_better_words_for_the_same_fault_change_its_finding_and_keep_it_one(answer, job):
    answer(FAULT)
    before = Finding.objects.get()
    answer(FAULT, "the left one")

    after = Finding.objects.get()
    assert (after.pk, after.words) == (before.pk, "A button is stuck: the left one")
    assert after.version == before.version + 1


def test_a_fault_that_was_a_slip_takes_its_open_finding_along(answer, job):
    answer(FAULT)
    answer(WORKS)

    assert findings(job) == []
    assert AsFound.objects.count() == 2


def test_a_fault_whose_finding_has_an_end_is_not_taken_back(answer, act, job):
    entry = answer(FAULT)
    services.end_finding(act(), Finding.objects.get(), FindingEnd.MENDED, "cleaned")

    with pytest.raises(Refused, match="Open that finding again first"):
        answer(WORKS)
    with pytest.raises(Refused, match="Open that finding again first"):
        UNDO["answer_as_found"](act(), entry)
    assert standing(job) == {"buttons": "FAULT"}
    assert findings(job) == [(BUTTON_STUCK, "MENDED")]


def test_the_same_fault_found_again_after_it_was_mended_is_a_finding_of_its_own(answer, act, job):
    answer(FAULT)
    services.end_finding(act(), Finding.objects.get(), FindingEnd.MENDED, "cleaned")
    answer(FAULT)

    assert findings(job) == [(BUTTON_STUCK, "MENDED"), (BUTTON_STUCK, "OPEN")]


def test_two_open_findings_never_say_the_same(answer, act, job):
    services.add_finding(act(), job, BUTTON_STUCK.upper())

    with pytest.raises(Refused, match="Add a word that tells the two apart") as refused:
        answer(FAULT)
    assert refused.value.field == "words"
    assert not AsFound.objects.exists()


def test_a_fault_takes_back_that_nothing_was_found(answer, act, job):
    services.answer_nothing(act(), job, NothingOf.FOUND)
    answer(FAULT)

    assert not job.nothings.exists()


def test_answers_alone_do_not_say_what_was_found(answer, job):
    answer(WORKS)

    assert "found" in [row.code for row in stations.unmet(stations.facts([job.pk])[job.pk])]


def test_undo_takes_the_answer_and_its_finding_back_and_the_item_can_be_answered_again(answer, act, job):
    entry = answer(FAULT)
    UNDO["answer_as_found"](act(), entry)
    assert (standing(job), findings(job)) == ({}, [])
    with pytest.raises(Refused, match="taken back already"):
        UNDO["answer_as_found"](act(), entry)

    answer(WORKS)
    assert standing(job) == {"buttons": "WORKS"}
    assert AsFound.objects.count() == 3


def test_an_answer_that_was_changed_since_is_not_undone(answer, act, job):
    entry = answer(FAULT)
    answer(FAULT, "the left one")

    with pytest.raises(Refused, match="changed or taken back already"):
        UNDO["answer_as_found"](act(), entry)
    assert findings(job) == [("A button is stuck: the left one", "OPEN")]


def test_a_second_press_is_one_answer(act, job):
    services.answer_as_found(act(key="k1"), job, given(FAULT))
    with pytest.raises(AlreadyDone):
        services.answer_as_found(act(key="k1"), job, given(FAULT))

    assert (AsFound.objects.count(), Finding.objects.count(), JournalEntry.objects.count()) == (1, 1, 1)


def test_an_answer_is_never_changed_in_place(answer, job):
    answer(WORKS)

    with pytest.raises(IntegrityError), transaction.atomic():
        AsFound.objects.update(answer="FAULT")
    with pytest.raises(IntegrityError), transaction.atomic():
        AsFound.objects.all().delete()
    assert standing(job) == {"buttons": "WORKS"}


def test_the_database_holds_one_first_answer_an_item_and_known_words_only(job):
    factories.AsFoundFactory(job=job)

    for wrong in ({}, {"item": "spout"}, {"item": "steam", "answer": "MAYBE"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            factories.AsFoundFactory(job=job, **wrong)
    assert AsFound.objects.count() == 1


def test_a_job_that_has_ended_takes_no_answer(answer, act, job, owner):
    job.closed_at, job.closed_by, job.closed_as = NOON, owner, "SCRAPPED"
    job.save()

    with pytest.raises(Refused, match="This job has ended"):
        answer(WORKS)


# --- the bag ---------------------------------------------------------------------------------------------


def vermin(act, job, answer=FAULT):
    return services.answer_as_found(
        act(), job, services.Answered(AsFoundItem.VERMIN, answer, "Vermin or mould", "in the tank")
    )


def test_vermin_or_mould_puts_the_machine_in_a_bag_until_somebody_says_it_is_clean(act, job, owner):
    vermin(act, job)
    assert facts.bags([job.pk])[job.pk].why == "Vermin or mould: in the tank"

    services.end_finding(act(), Finding.objects.get(), FindingEnd.MENDED, "washed")
    assert facts.bags([job.pk])[job.pk] is not None

    services.clear_bag(act(), job, "dry for a week")
    bag = Bag.objects.get()
    assert facts.bags([job.pk])[job.pk] is None
    assert (bag.cleared_by, bag.cleared_at, bag.cleared_words) == (owner, NOON, "dry for a week")
    with pytest.raises(Refused, match="in no bag"):
        services.clear_bag(act(), job, "again")


def test_another_fault_bags_nothing_and_the_same_one_twice_bags_once(answer, act, job):
    answer(FAULT)
    assert not Bag.objects.exists()
    vermin(act, job)
    vermin(act, job)
    assert Bag.objects.count() == 1


def test_a_slip_takes_the_bag_off_again_and_a_clearing_can_be_undone(act, job):
    vermin(act, job)
    entry = services.clear_bag(act(), job, "washed")
    UNDO["clear_bag"](act(), entry)
    assert facts.bags([job.pk])[job.pk] is not None
    with pytest.raises(Refused, match="in a bag already"):
        UNDO["clear_bag"](act(), entry)

    vermin(act, job, WORKS)
    assert facts.bags([job.pk])[job.pk] is None


# --- seen running at the seller's ------------------------------------------------------------------------


def test_seen_running_is_a_row_with_who_and_when_and_answers_nothing(act, job, owner):
    seen = {AsFoundItem.HEATS: "heats", AsFoundItem.PUMP: "pumps"}
    before = stations.facts([job.pk])[job.pk]
    entry = services.note_seen_running(act(), job, seen, seen_on=date(2026, 5, 2))

    row = SeenRunning.objects.get()
    assert (row.items, row.said, row.seen_on, row.by) == (["heats", "pump"], "heats, pumps", date(2026, 5, 2), owner)
    assert entry.sentence == "Seen running at the seller's: heats, pumps"
    assert (standing(job), findings(job)) == ({}, [])
    after = stations.facts([job.pk])[job.pk]
    assert (stations.unmet(after), after.asserted) == (stations.unmet(before), before.asserted)


def test_seen_running_wants_something_seen_and_no_day_to_come(act, job):
    with pytest.raises(Refused, match="Say what you saw"):
        services.note_seen_running(act(), job, {}, seen_on=NOON.date())
    with pytest.raises(Refused, match="in the future"):
        services.note_seen_running(act(), job, {AsFoundItem.HEATS: "heats"}, seen_on=NOON.date() + timedelta(days=1))
    assert not SeenRunning.objects.exists()


def test_seen_running_is_taken_back_by_a_row_that_names_it(act, job):
    entry = services.note_seen_running(act(), job, {AsFoundItem.HEATS: "heats"}, seen_on=NOON.date())
    UNDO["note_seen_running"](act(), entry)

    assert facts.seen_running([job.pk])[job.pk] == []
    assert SeenRunning.objects.count() == 2
    with pytest.raises(Refused, match="taken back already"):
        UNDO["note_seen_running"](act(), entry)


def test_facts_of_thirty_jobs_cost_as_much_as_of_one(shop, django_assert_num_queries):
    jobs = JobFactory.create_batch(30)
    for job in jobs:
        factories.AsFoundFactory(job=job)
        factories.SeenRunningFactory(job=job)
        factories.BagFactory(job=job)
    ids = [job.pk for job in jobs]

    for some in (ids[:1], ids):
        with django_assert_num_queries(3):
            found = [facts.as_found(some), facts.seen_running(some), facts.bags(some)]
            told = [[str(row.by) for row in rows[job_id].values()] for rows in found[:1] for job_id in some]
        assert [len(names) for names in told] == [1] * len(some)
        assert all(rows[job_id] for rows in found for job_id in some)
