"""A decision is kept with its reason, and the question comes again when the hours pass or a stop item fails."""

from datetime import timedelta

import pytest
from django.db import IntegrityError, connection
from django.test.utils import CaptureQueriesContext

from tests.conftest import NOON
from tests.factories import JobFactory
from tests.pricing.factories import (
    AskingPriceFactory,
    DecisionFactory,
    MovementFactory,
    PartFactory,
    WorkFactory,
    worked_machine,
    worked_shop,
)
from workshop.bench.facts import prove
from workshop.core.acts import AlreadyDone, Refused
from workshop.pricing import decide, pages_decide, services
from workshop.pricing.models import Decision
from workshop.trade.money.ways import Outlook, Way

THOUGHT = Outlook(minutes=120, parts_minor=4000, price_minor=30000, in_ten=8, strip_minor=9000, strip_minutes=60)


def choose(act, job, way=Way.MEND, outlook=THOUGHT, **more):
    return services.decide(act, job, way=way, because="the boiler is sound", minutes=120, outlook=outlook, **more)


def asked(job):
    return decide.asks([job.pk], prove.facts([job.pk])).get(job.pk, "")


@pytest.fixture
def decided(job, shop, act, owner):
    """The worked machine of the trade's own check, bought for 120.00, with a decision to mend it in 2 h."""
    worked_machine(job, owner)
    worked_shop(shop, hourly_rate_minor=2400, tax_rule="UK_MARGIN")
    choose(act(), job)
    return Decision.objects.get()


def test_a_decision_keeps_who_when_why_and_what_was_thought(decided, owner):
    """225.00 kept less 0.2 of it, 13.20 of parts, 88.00 to come: 105.20, as the trade's own example has it."""
    assert (decided.way, decided.because, decided.by, decided.at) == ("MEND", "the boiler is sound", owner, NOON)
    assert (decided.minutes, decided.in_ten, decided.strip_minor) == (120, 8, 9000)
    assert decided.net_minor == 10520


def test_a_decision_is_never_changed(decided):
    decided.because = "another reason"

    with pytest.raises(IntegrityError):
        decided.save()


def test_the_newest_decision_stands_and_taking_it_back_brings_the_one_before(decided, job, act):
    choose(act(), job, way=Way.STRIP)
    newest = Decision.objects.latest("pk")
    assert decide.standing([job.pk])[job.pk] == newest

    services.strike_decision(act(), newest)

    assert decide.standing([job.pk])[job.pk] == decided
    with pytest.raises(Refused, match="taken back already"):
        services.strike_decision(act(), newest)


def test_a_way_without_its_amount_cannot_be_chosen(job, act, owner):
    worked_machine(job, owner)

    with pytest.raises(Refused, match="type what it would bring") as refused:
        choose(act(), job, way=Way.PASS_ON)

    assert refused.value.field == "pass_on_minor"


def test_only_the_owner_decides_and_a_double_press_is_one_decision(job, act, technician):
    with pytest.raises(Refused, match="Only the owner"):
        choose(act(by=technician), job, outlook=None)
    choose(act(key="k1"), job, outlook=None)
    with pytest.raises(AlreadyDone):
        choose(act(key="k1"), job, outlook=None)

    assert Decision.objects.count() == 1


def test_the_journal_says_the_way_and_why_and_no_figure(decided, job):
    entry = job.journal.get(verb="decide")

    assert entry.sentence == "Decided: mend it, because the boiler is sound"
    assert entry.after == {"way": "MEND"}


def test_it_is_asked_again_when_the_hours_pass_the_estimate(decided, job, owner):
    WorkFactory(job=job, by=owner, minutes=120)
    assert asked(job) == ""

    WorkFactory(job=job, by=owner, minutes=10)

    assert asked(job).replace("\u00a0", " ") == (
        "Decide again: 2 h 10 min worked since 12 May, 2 h were thought enough."
    )


def test_work_done_before_the_decision_does_not_count_against_it(job, owner):
    WorkFactory(job=job, by=owner, minutes=500)
    DecisionFactory(job=job, by=owner, minutes=120, worked_minutes=500)

    assert asked(job) == ""


def test_deciding_again_quiets_the_question(decided, job, act, owner):
    WorkFactory(job=job, by=owner, minutes=130)

    choose(act(), job)

    assert asked(job) == ""


def test_it_is_asked_again_when_a_stop_item_fails_and_not_for_what_was_known(bench, act):
    bench.read("earth", "0.41")
    choose(act(at=bench.now()), bench.job, outlook=None)
    assert asked(bench.job) == ""

    bench.read("earth", "0.55")

    assert asked(bench.job) == "Decide again: earth path, plug to metal failed since 12 May."


def test_a_machine_to_be_stripped_waits_to_be_stripped_whatever_the_hours(job, owner):
    DecisionFactory(job=job, by=owner, way="STRIP", minutes=60)
    WorkFactory(job=job, by=owner, minutes=90)

    assert asked(job) == "Decided on 12 May: strip it for parts. End it so, or decide again."


def test_a_job_that_has_ended_is_asked_nothing(job, owner, act):
    DecisionFactory(job=job, by=owner, way="STRIP")
    services.strip(act(), job, lines=[], words="all of it corroded")

    assert asked(job) == ""


def test_without_a_decision_the_models_usual_hours_are_the_estimate(job, owner):
    job.machine.notes.usual_minutes = 230
    job.machine.notes.save()
    WorkFactory(job=job, by=owner, minutes=230)
    assert asked(job) == ""

    WorkFactory(job=job, by=owner, minutes=5)

    assert asked(job).startswith("Decide: 3\u00a0h 55\u00a0min worked")


def test_what_came_back_is_not_asked_about_without_a_decision(owner, shop):
    job = JobFactory(kind="CAME_BACK")
    job.machine.notes.usual_minutes = 30
    job.machine.notes.save()
    WorkFactory(job=job, by=owner, minutes=60)

    assert asked(job) == ""


def test_thirty_machines_are_asked_about_with_no_more_queries_than_one(owner, shop):
    jobs = [JobFactory() for _ in range(30)]
    for job in jobs:
        DecisionFactory(job=job, by=owner, minutes=10)
        WorkFactory(job=job, by=owner, minutes=30)
    proved = prove.facts([job.pk for job in jobs])
    counts = []
    for some in (jobs[:1], jobs):
        with CaptureQueriesContext(connection) as seen:
            found = decide.asks([job.pk for job in some], proved)
        assert len(found) == len(some)
        counts.append(len(seen))

    assert counts[0] == counts[1]


def test_the_form_begins_with_the_models_hours_less_those_worked_and_the_price_asked(job, owner):
    job.machine.notes.usual_minutes = 230
    WorkFactory(job=job, by=owner, minutes=50)
    AskingPriceFactory(job=job, by=owner, price_minor=37099)

    first = decide.first_thoughts(decide.known(job, NOON.date()))

    assert (first["minutes"], first["price_minor"], first["in_ten"]) == (180, 37099, 8)
    assert first.get("parts_minor") is None


def test_the_form_begins_with_the_last_decision_less_the_hours_worked_since(decided, job, owner):
    WorkFactory(job=job, by=owner, minutes=50)

    first = decide.first_thoughts(decide.known(job, (NOON + timedelta(days=1)).date()))

    assert (first["minutes"], first["parts_minor"], first["strip_minutes"]) == (70, 4000, 60)


def test_parts_on_hand_are_those_this_model_took_before(job, owner):
    seal, pump = PartFactory(name="Group seal"), PartFactory(name="Pump")
    MovementFactory(part=seal, qty=5, value_minor=2000, on_hand_after=5, value_after_minor=2000, job=None, by=owner)
    other = JobFactory(machine__notes=job.machine.notes)
    MovementFactory(part=seal, seq=2, value_minor=-400, on_hand_after=4, value_after_minor=1600, job=other, by=owner)
    MovementFactory(part=pump, job=JobFactory(), by=owner)

    assert [(row.name, row.words) for row in pages_decide.on_hand(job)] == [("Group seal", "4 in the drawer")]
