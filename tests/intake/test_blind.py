"""The blind second look: who may score, what they see, both scores afterwards, and how far two people agree."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from intake import blind, facts, pages, score_page, services
from intake.models import Mark, Walk
from intake.services import NewMark
from intake.undo import UNDO
from tests.conftest import NOON
from tests.factories import JobFactory
from tests.intake import factories
from workshop.core.acts import Refused
from workshop.trade.condition.scoring import Face, MarkKind, Shows


def scratch(size="100", face=Face.FRONT):
    return NewMark(face=face, kind=MarkKind.SCRATCH, size_mm=Decimal(size), shows=Shows.CLOSE_UP)


@pytest.fixture
def looked(job, act):
    """Return a job that the owner walked round, finding one scratch of 100 mm: 8.5 of 10 by the rule."""
    services.add_mark(act(), job, scratch())
    services.look_at_all_faces(act(), job)
    return job


@pytest.fixture
def second(technician, act):
    """Return an Act maker of the technician, an hour later."""
    return lambda key=None: act(key, by=technician, at=NOON + timedelta(hours=1))


def url(name, job, *args):
    return reverse(f"intake:{name}", args=[job.machine.slug, *args])


def test_the_first_walk_must_be_finished(job, act, second):
    services.look_at_face(act(), job, Face.LEFT)

    with pytest.raises(Refused, match="all six faces"):
        services.begin_blind_look(second(), job)


def test_whoever_took_part_in_the_first_walk_may_not_score_blind(looked, act, second):
    with pytest.raises(Refused, match="Another person must score it blind"):
        services.begin_blind_look(act(), looked)

    services.add_mark(second(), looked, scratch("5"))
    with pytest.raises(Refused, match="Another person must score it blind"):
        services.begin_blind_look(second(), looked)
    assert not Walk.objects.filter(kind="SECOND").exists()


def test_a_machine_is_scored_blind_once(looked, second, act):
    services.begin_blind_look(second(), looked)

    with pytest.raises(Refused, match="already"):
        services.begin_blind_look(act(by=factories.UserFactory()), looked)


def test_the_blind_walk_has_its_own_numbers_and_changes_nothing_of_the_machine(looked, act, second):
    before = (pages.score_now(looked).value, pages.marks_for_sheet(looked), facts.standing_marks([looked.pk]))
    services.begin_blind_look(second(), looked)
    services.add_mark(second(), looked, scratch("200", Face.LEFT))
    services.look_at_all_faces(second(), looked)
    services.finish_blind_look(second(), looked)

    after = (pages.score_now(looked).value, pages.marks_for_sheet(looked), facts.standing_marks([looked.pk]))
    assert after == before
    assert list(Mark.objects.order_by("pk").values_list("walk__kind", "number")) == [("ARRIVAL", 1), ("SECOND", 1)]
    services.add_mark(act(), looked, scratch("5"))
    assert Mark.objects.latest("pk").number == 2


def test_the_others_go_on_with_the_machines_own_walk_meanwhile(looked, act, second):
    services.begin_blind_look(second(), looked)

    services.add_mark(act(), looked, scratch("5"))

    assert Mark.objects.latest("pk").walk.kind == "ARRIVAL"


def test_the_record_does_not_say_where_a_blind_mark_is(looked, second):
    services.begin_blind_look(second(), looked)

    entry = services.add_mark(second(), looked, scratch())

    assert entry.sentence == "Blind look, mark 1"


def test_it_is_finished_once_all_six_faces_were_looked_at(looked, second):
    services.begin_blind_look(second(), looked)
    services.look_at_face(second(), looked, Face.TOP)
    with pytest.raises(Refused, match="5 to go"):
        services.finish_blind_look(second(), looked)

    services.look_at_all_faces(second(), looked)
    services.finish_blind_look(second(), looked)

    with pytest.raises(Refused, match="no blind look open"):
        services.finish_blind_look(second(), looked)


def test_a_finished_blind_walk_stays_as_it_is(looked, act, second):
    services.begin_blind_look(second(), looked)
    added = services.add_mark(second(), looked, scratch())
    seen = services.look_at_all_faces(second(), looked)
    mark = Mark.objects.get(walk__kind="SECOND")
    with pytest.raises(Refused, match="Only the person who scores blind"):
        services.take_mark_back(act(), mark)
    with pytest.raises(Refused, match="belongs to the blind look"):
        services.mend_mark(second(), mark)
    services.finish_blind_look(second(), looked)

    for entry in (added, seen):
        with pytest.raises(Refused, match="finished"):
            UNDO[entry.verb](second(), entry)


def test_a_blind_look_begun_by_mistake_is_undone(looked, second):
    entry = services.begin_blind_look(second(), looked)

    UNDO[entry.verb](second(), entry)

    assert not Walk.objects.filter(kind="SECOND").exists()


def test_both_scores_are_of_the_machine_as_it_stood_then(looked, act, second):
    services.begin_blind_look(second(), looked)
    services.add_mark(second(), looked, scratch("40"))
    services.look_at_all_faces(second(), looked)
    services.finish_blind_look(second(), looked)
    later = act(at=NOON + timedelta(days=1))
    services.mend_mark(later, Mark.objects.get(walk__kind="ARRIVAL"))
    services.add_mark(later, looked, scratch("300"))

    found = blind.section(looked, second().by)

    # 0.015 a millimetre on the front: 100 mm take 1.5 off, 40 mm take 0.6 off.
    assert (found.state, found.first, found.blind) == ("done", "8.5", "9.4")


# The pages


def test_the_blind_person_sees_no_mark_and_no_score_until_they_finish(client_in, technician_in, looked):
    theirs = "Front: scratch 100\u00a0mm"
    assert theirs in technician_in.get(url("walk", looked)).content.decode()
    technician_in.post(url("blind_begin", looked), {"key": "a"})

    seen = [url("walk", looked), looked.machine.get_absolute_url(), url("photos_compare", looked)]
    for address in seen:
        html = technician_in.get(address).content.decode()
        assert "blind" in html
        assert [words for words in (theirs, "of 10, as it is", ">8.5<", "Front, scratch") if words in html] == []
    assert theirs in client_in.get(url("walk", looked)).content.decode()

    technician_in.post(url("faces_look", looked), {"key": "b"})
    technician_in.post(url("blind_finish", looked), {"key": "c"})

    html = technician_in.get(url("walk", looked)).content.decode()
    assert theirs in html
    assert ("<dd>8.5</dd>" in html, "<dd>10.0</dd>" in html) == (True, True)


def test_the_record_of_the_machine_keeps_quiet_for_the_blind_person(technician_in, looked):
    record = reverse("machine_record", args=[looked.machine.slug])
    assert "Mark 1: Front, scratch" in technician_in.get(record).content.decode()

    technician_in.post(url("blind_begin", looked), {"key": "a"})

    assert "Mark 1: Front, scratch" not in technician_in.get(record).content.decode()


def test_photos_of_marks_are_kept_from_the_blind_person(technician_in, looked, act):
    photo = factories.PhotoFactory(job=looked, purpose="MARK", face="front")
    address = reverse("intake:photo_one", args=[photo.pk])
    technician_in.post(url("blind_begin", looked), {"key": "a"})

    assert technician_in.get(address).status_code == 404
    assert address not in technician_in.get(url("intake", looked)).content.decode()
    assert address not in technician_in.get(looked.machine.get_absolute_url()).content.decode()


def test_a_mark_of_the_first_walk_is_out_of_the_blind_persons_reach(technician_in, looked):
    technician_in.post(url("blind_begin", looked), {"key": "a"})

    response = technician_in.post(url("mark_mend", looked, Mark.objects.get().pk), {"key": "b"})

    assert (response.status_code, Mark.objects.get().mended_at) == (404, None)


def test_pressed_by_the_wrong_person_or_too_early_the_page_says_why(client_in, technician_in, looked):
    refused = client_in.post(url("blind_begin", looked), {"key": "a"})
    assert (refused.status_code, "You took part in the first walk-round" in refused.content.decode()) == (422, True)
    assert technician_in.post(url("blind_finish", looked), {"key": "b"}).status_code == 422


def test_five_presses_begin_one_blind_look(technician_in, looked):
    for _ in range(5):
        assert technician_in.post(url("blind_begin", looked), {"key": "a"}).status_code == 302
    assert Walk.objects.filter(kind="SECOND").count() == 1


# How far two people agree


def closed_with_both(count):
    """Make closed machines: the first found 100 mm on the front (8.5), the second nothing (10.0)."""
    person = factories.UserFactory()
    for _ in range(count):
        job = JobFactory(closed_at=NOON, closed_by=person, closed_as="SOLD_PROVED")
        first = factories.WalkFactory(job=job)
        factories.MarkFactory(walk=first, size_mm=Decimal(100), at=NOON - timedelta(days=2))
        factories.WalkFactory(job=job, kind="SECOND", rule_version=2, finished_at=NOON - timedelta(days=1))


@pytest.mark.parametrize(
    ("count", "told"),
    [
        (0, "No closed machine has both scores. From 30 on, it says here how far they agree."),
        (1, "1 closed machine has both scores. From 30 on, it says here how far they agree."),
        (29, "29 closed machines have both scores. From 30 on, it says here how far they agree."),
    ],
)
def test_under_thirty_the_page_says_how_many_there_are(client_in, count, told):
    closed_with_both(count)

    html = client_in.get(reverse("intake:condition_score")).content.decode()

    assert told in html
    assert "on average" not in html


def test_from_thirty_on_the_share_and_the_mean_are_shown(client_in, django_assert_num_queries):
    closed_with_both(30)
    factories.WalkFactory(kind="SECOND", finished_at=NOON)  # of an open machine: not counted

    with django_assert_num_queries(2):
        found = score_page.score_page().agreeing

    assert (found.told, found.share, found.mean) == (
        "30 closed machines have both scores.",
        "0 in 100 within 0.5",
        "+1.5",
    )
    assert "on average" in client_in.get(reverse("intake:condition_score")).content.decode()


def test_the_page_of_the_score_is_linked_from_every_score(client_in, looked):
    link = f'href="{reverse("intake:condition_score")}"'

    for address in (url("walk", looked), looked.machine.get_absolute_url()):
        assert link in client_in.get(address).content.decode()


def test_the_page_of_the_score_prints_the_rule_that_scores(client_in, db):
    html = client_in.get(reverse("intake:condition_score")).content.decode()

    # By hand: 30 x 0.015; 6 x 0.04 x 2.4 x 0.5; 400 x 0.0004 x 1.6 x 0.5; 50 x 0.015 x 0.2.
    for words in ("0.015\u00a0points/mm", "0.2\u00a0times", "0.45 off", "0.288 off", "0.128 off", "0.15 off", ">9.0<"):
        assert words in html
