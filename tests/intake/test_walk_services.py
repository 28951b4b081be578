"""The walk-round: faces, marks and their numbers, the score on arrival and as it is, the second look."""

from datetime import timedelta
from decimal import Decimal

import pytest

from intake import facts, pages, services
from intake.models import FaceLook, Mark, Photo, Walk
from intake.photos import Kept
from intake.services import NewMark
from intake.undo import UNDO
from tests.factories import JobFactory
from tests.intake import factories
from workshop.core.acts import AlreadyDone, Refused
from workshop.trade.condition.scoring import Face, MarkKind, Shows

LATER = factories.NOON + timedelta(minutes=5)


def scratch(face=Face.LEFT, zone="low-right", size="28", **more):
    return NewMark(face=face, zone=zone, kind=MarkKind.SCRATCH, size_mm=Decimal(size), shows=Shows.ARMS_LENGTH, **more)


def test_marks_are_numbered_over_the_whole_job(act, job):
    services.add_mark(act(), job, scratch())
    services.add_mark(act(), job, scratch(Face.TOP, ""))
    services.look_at_all_faces(act(), job)
    services.begin_second_look(act(), job)
    services.add_mark(act(), job, scratch(Face.FRONT))
    services.add_mark(act(), JobFactory(), scratch())

    rows = Mark.objects.filter(walk__job=job).order_by("pk").values_list("number", "walk__kind")
    assert list(rows) == [(1, "ARRIVAL"), (2, "ARRIVAL"), (3, "SOLD")]


def test_a_mark_reads_as_the_sheet_prints_it(act, job):
    services.add_mark(act(), job, scratch())
    services.add_mark(act(), job, scratch(Face.TOP, "", "5.5"))

    assert pages.marks_for_sheet(job) == [
        pages.SheetMark(1, "Left, low front: scratch 28\u00a0mm, seen at arm's length", None),
        pages.SheetMark(2, "Top: scratch 5.5\u00a0mm, seen at arm's length", None),
    ]


def test_a_mark_may_bring_its_photo(act, job):
    photo = Kept("a" * 64, "0" * 64, 1600, 1200)
    services.add_mark(act(), job, scratch(photo=photo))
    services.add_mark(act(), job, scratch(photo=photo))

    assert list(Photo.objects.values_list("face", "purpose", "number")) == [("left", "MARK", 1)]
    assert [row.photo_sha for row in pages.marks_for_sheet(job)] == ["a" * 64, "a" * 64]


def test_a_double_press_is_one_mark(act, job):
    services.add_mark(act("k"), job, scratch())
    with pytest.raises(AlreadyDone):
        services.add_mark(act("k"), job, scratch())
    assert Mark.objects.count() == 1


# Rule 1 of the score (K-03): a front scratch costs 0.015 a millimetre, 1.6 times that at arm's length.
def test_the_score_falls_with_a_mark_and_comes_back_when_it_is_mended(act, job):
    assert pages.score_now(job).value == Decimal("10.0")
    services.add_mark(act(), job, scratch(Face.FRONT, "low-left", "100"))
    mark = Mark.objects.get()
    assert (pages.score_now(job).value, pages.score_on_arrival(job).value) == (Decimal("7.6"), Decimal("7.6"))

    services.mend_mark(act(), mark)
    assert (pages.score_now(job).value, pages.score_on_arrival(job).value) == (Decimal("10.0"), Decimal("7.6"))
    assert pages.marks_for_sheet(job) == []

    services.unmend_mark(act(), mark)
    services.take_mark_back(act(), mark)
    assert (pages.score_now(job).value, pages.score_on_arrival(job).value) == (Decimal("10.0"), Decimal("10.0"))

    services.put_mark_back(act(), mark)
    assert pages.score_now(job).value == Decimal("7.6")


@pytest.mark.parametrize(
    ("first", "again"),
    [
        (services.mend_mark, "This mark is mended already."),
        (services.take_mark_back, "This mark was taken back already."),
    ],
)
def test_a_second_press_on_a_mark_is_told_so(act, job, first, again):
    mark = factories.MarkFactory(walk__job=job)
    first(act(), mark)
    with pytest.raises(Refused, match=again):
        first(act(), mark)


@pytest.mark.parametrize("service", [services.unmend_mark, services.put_mark_back])
def test_what_never_happened_is_not_undone(act, job, service):
    with pytest.raises(Refused):
        service(act(), factories.MarkFactory(walk__job=job))


def test_a_face_is_looked_at_once_and_the_rest_in_one_press(act, job):
    services.look_at_face(act(), job, Face.LEFT)
    with pytest.raises(Refused, match="Left was looked at already"):
        services.look_at_face(act(), job, Face.LEFT)

    services.look_at_all_faces(act(), job)

    assert sorted(FaceLook.objects.values_list("face", flat=True)) == sorted(face.value for face in Face)
    with pytest.raises(Refused, match="All six faces"):
        services.look_at_all_faces(act(), job)


def test_the_second_look_wants_the_first_one_finished(act, job):
    services.look_at_face(act(), job, Face.LEFT)

    for service in (services.look_again, services.begin_second_look):
        with pytest.raises(Refused, match="Finish the walk-round first"):
            service(act(), job)
    assert Walk.objects.count() == 1


def test_same_as_arrived_is_one_press(act, job):
    services.look_at_all_faces(act(), job)
    assert facts.second_look([job.pk])[job.pk].done is False

    services.look_again(act(), job)

    look = facts.second_look([job.pk])[job.pk]
    assert (look.begun, look.done, look.faces_unseen, len(look.looks), look.marks) == (True, True, (), 6, ())
    with pytest.raises(Refused, match="began already"):
        services.look_again(act(), job)


@pytest.mark.parametrize(
    ("gone", "said"),
    [
        ({"mended_at": LATER}, "Mark 1 is gone since it arrived"),
        ({"withdrawn_at": LATER}, "Mark 1 is gone since it arrived"),
        ({"withdrawn_at": factories.NOON - timedelta(minutes=5)}, ""),
    ],
)
def test_same_as_arrived_is_refused_when_a_mark_is_gone_since(act, owner, job, gone, said):
    services.look_at_all_faces(act(), job)
    who = {name.replace("_at", "_by"): owner for name in gone}
    factories.MarkFactory(walk=Walk.objects.get(), number=1, **gone, **who)

    if said:
        with pytest.raises(Refused, match=said):
            services.look_again(act(), job)
        assert Walk.objects.count() == 1
        services.begin_second_look(act(), job)
    else:
        services.look_again(act(), job)
    assert Walk.objects.count() == 2


def test_a_second_look_face_by_face_finds_new_marks(act, job):
    services.look_at_all_faces(act(), job)
    services.begin_second_look(act(), job)
    services.look_at_face(act(), job, Face.TOP)
    services.add_mark(act(), job, scratch(Face.FRONT, "", "100"))

    look = facts.second_look([job.pk])[job.pk]
    assert (look.done, look.faces_unseen) == (False, ("front", "back", "left", "right", "under"))
    assert look.marks == (Mark.objects.get().pk,)
    assert (pages.score_on_arrival(job).value, pages.score_now(job).value) == (Decimal("10.0"), Decimal("7.6"))


@pytest.mark.parametrize("press", ["face", "faces", "again", "begin", "mark", "mend", "back"])
def test_each_press_is_undone_once(act, job, press):
    if press in ("again", "begin"):
        services.look_at_all_faces(act(), job)
    mark = factories.MarkFactory(walk=Walk.objects.first() or factories.WalkFactory(job=job))
    before = (FaceLook.objects.count(), Walk.objects.count(), pages.score_now(job).value)
    entry = {
        "face": lambda: services.look_at_face(act(), job, Face.TOP),
        "faces": lambda: services.look_at_all_faces(act(), job),
        "again": lambda: services.look_again(act(), job),
        "begin": lambda: services.begin_second_look(act(), job),
        "mark": lambda: services.add_mark(act(), job, scratch()),
        "mend": lambda: services.mend_mark(act(), mark),
        "back": lambda: services.take_mark_back(act(), mark),
    }[press]()

    UNDO[entry.verb](act(), entry)

    assert (FaceLook.objects.count(), Walk.objects.count(), pages.score_now(job).value) == before
    with pytest.raises(Refused):
        UNDO[entry.verb](act(), entry)


def test_a_second_look_with_marks_is_not_undone_whole(act, job):
    services.look_at_all_faces(act(), job)
    entry = services.begin_second_look(act(), job)
    services.add_mark(act(), job, scratch())

    with pytest.raises(Refused, match="one by one"):
        UNDO[entry.verb](act(), entry)
    assert Walk.objects.count() == 2
