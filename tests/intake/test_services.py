"""Photos, loose parts, findings, recalls and answers that are "nothing"."""

from datetime import date

import pytest

from intake import services
from intake.models import Finding, LoosePart, Nothing, Photo, Purchase, RecallCheck
from intake.photos import Kept
from intake.services.arrival import usual_parts
from intake.undo import UNDO
from intake.words import FindingEnd, NothingOf, PhotoFor, RecallFound
from tests.factories import JobFactory, ModelNotesFactory
from tests.intake import factories
from workshop.core.acts import AlreadyDone, Refused, Stale
from workshop.core.models import JournalEntry


def kept(number):
    return Kept(f"{number:064x}", "0" * 64, 1600, 1200)


def test_photos_count_up_on_each_face(act, job):
    services.add_photos(act(), job, [kept(1), kept(2)], face="left", purpose=PhotoFor.ARRIVAL)
    services.add_photos(act(), job, [kept(3)], face="front", purpose=PhotoFor.ARRIVAL)
    services.add_photos(act(), job, [kept(4)], face="left", purpose=PhotoFor.PLATE)

    rows = Photo.objects.order_by("pk").values_list("face", "number")
    assert list(rows) == [("left", 1), ("left", 2), ("front", 1), ("left", 3)]


def test_the_same_picture_for_the_same_purpose_is_kept_once(act, job):
    services.add_photos(act(), job, [kept(1)], face="", purpose=PhotoFor.ARRIVAL)

    with pytest.raises(Refused, match="here already"):
        services.add_photos(act(), job, [kept(1)], face="left", purpose=PhotoFor.ARRIVAL)
    services.add_photos(act(), job, [kept(1)], face="", purpose=PhotoFor.PLATE)

    assert Photo.objects.count() == 2


def test_no_photo_is_refused(act, job):
    with pytest.raises(Refused, match="No photo was chosen"):
        services.add_photos(act(), job, [], face="", purpose=PhotoFor.ARRIVAL)


def test_a_photo_taken_back_stays_and_is_shown_no_more_and_may_come_again(act, job):
    services.add_photos(act(), job, [kept(1)], face="left", purpose=PhotoFor.ARRIVAL)
    first = Photo.objects.get()

    services.take_photo_back(act(), first)
    with pytest.raises(Refused, match="taken back already"):
        services.take_photo_back(act(), first)
    services.add_photos(act(), job, [kept(1)], face="left", purpose=PhotoFor.ARRIVAL)

    rows = Photo.objects.order_by("pk").values_list("struck", "corrects", "number")
    assert list(rows) == [(False, None, 1), (True, first.pk, 1), (False, None, 2)]


def test_a_photo_that_a_mark_shows_is_not_taken_back(act, job):
    photo = factories.PhotoFactory(job=job)
    factories.MarkFactory(walk__job=job, photo=photo)

    with pytest.raises(Refused, match="A mark shows this photo"):
        services.take_photo_back(act(), photo)


@pytest.mark.parametrize(
    ("line", "words", "count"),
    [
        ("filter handle", "Filter handle", 1),
        ("2 x basket", "Basket", 2),
        ("3 blind discs", "Blind discs", 3),
        ("  tank  ", "Tank", 1),
        ("58 mm tamper", "Mm tamper", 58),
        ("12", "12", 1),
    ],
)
def test_lines_of_the_notes_are_read_as_parts_and_counts(line, words, count):
    assert usual_parts(f"\n{line}\n\n") == [(words, count)]


def test_as_usual_counts_in_what_the_notes_name_once(act, shop):
    job = JobFactory(machine__notes=ModelNotesFactory(loose_parts="filter handle\n2 x basket\ntank"))
    services.add_loose_part(act(), job, "Tank", 0)

    entry = services.loose_parts_as_usual(act(), job)

    rows = LoosePart.objects.order_by("pk").values_list("words", "counted")
    assert list(rows) == [("Tank", 0), ("Filter handle", 1), ("Basket", 2)]
    assert entry.after == {"parts": ["1 x Filter handle", "2 x Basket"]}
    with pytest.raises(Refused):
        services.loose_parts_as_usual(act(), job)


def test_a_part_counted_twice_is_refused_and_its_count_can_be_changed(act, job):
    services.add_loose_part(act(), job, "Tank", 1)
    part = LoosePart.objects.get()

    with pytest.raises(Refused, match="counted already"):
        services.add_loose_part(act(), job, "tank", 1)
    services.change_loose_part(act(), part, 1, "Tank", 0)
    with pytest.raises(Stale):
        services.change_loose_part(act(), part, 1, "Tank", 2)

    assert LoosePart.objects.get().counted == 0


@pytest.mark.parametrize("what", list(NothingOf))
def test_nothing_is_an_answer_until_there_is_something(act, job, what):
    purchase = factories.PurchaseFactory(job=job)
    services.answer_nothing(act(), job, what)
    assert list(Nothing.objects.values_list("what", flat=True)) == [what]

    {
        NothingOf.SAID: lambda: services.change_said(act(), purchase, 1, "It drips."),
        NothingOf.FOUND: lambda: services.add_finding(act(), job, "drips"),
        NothingOf.LOOSE: lambda: services.add_loose_part(act(), job, "Tank", 1),
    }[what]()

    assert Nothing.objects.count() == 0
    job.refresh_from_db()
    with pytest.raises(Refused, match="There is an answer already"):
        services.answer_nothing(act(), type(job).objects.get(pk=job.pk), what)


def test_nothing_pressed_twice_is_one_answer(act, job):
    services.answer_nothing(act("k"), job, NothingOf.FOUND)
    with pytest.raises(AlreadyDone):
        services.answer_nothing(act("k"), job, NothingOf.FOUND)
    services.answer_nothing(act("k2"), job, NothingOf.FOUND)

    assert Nothing.objects.count() == 1


@pytest.mark.parametrize("end", [FindingEnd.MENDED, FindingEnd.NOT_SEEN_AGAIN, FindingEnd.LEFT])
def test_a_finding_ends_once_and_can_be_opened_again(act, job, owner, end):
    services.add_finding(act(), job, "drips from the group")
    finding = Finding.objects.get()

    entry = services.end_finding(act(), finding, end, "new seal")

    assert (finding.end, finding.end_words, finding.ended_by) == (end, "new seal", owner)
    assert entry.sentence == f"{end.label}: drips from the group"
    with pytest.raises(Refused, match="ended already"):
        services.end_finding(act(), finding, end, "again")
    services.reopen_finding(act(), finding)
    assert (finding.end, finding.end_words, finding.ended_at) == (FindingEnd.OPEN, "", None)
    with pytest.raises(Refused, match="open already"):
        services.reopen_finding(act(), finding)


@pytest.mark.parametrize(("end", "words", "field"), [("OPEN", "x", "end"), ("LEFT", "", "words")])
def test_an_end_that_says_too_little_is_refused(act, job, end, words, field):
    finding = factories.FindingFactory(job=job)

    with pytest.raises(Refused) as refused:
        services.end_finding(act(), finding, FindingEnd(end), words)

    assert (refused.value.field, Finding.objects.get().end) == (field, FindingEnd.OPEN)


def test_the_same_finding_is_not_noted_twice_and_its_words_can_be_changed(act, job):
    services.add_finding(act(), job, "drips")
    with pytest.raises(Refused, match="noted already"):
        services.add_finding(act(), job, "Drips")
    finding = Finding.objects.get()
    services.change_finding(act(), finding, 1, "drips when hot")

    assert (finding.words, finding.version) == ("drips when hot", 2)
    with pytest.raises(Stale):
        services.change_finding(act(), finding, 1, "no")


def test_a_look_into_the_registers_is_kept_and_not_from_tomorrow(act, job):
    look = {"registers": ["Safety Gate"], "found": RecallFound.NOTHING, "note": ""}
    services.record_recall_check(act(), job, looked_on=None, **look)

    check = RecallCheck.objects.get()
    assert (check.looked_on, check.registers, check.found) == (date(2026, 5, 12), "Safety Gate", "NOTHING")
    with pytest.raises(Refused, match="in the future"):
        services.record_recall_check(act(), job, looked_on=date(2026, 5, 13), **look)
    assert RecallCheck.objects.count() == 1


def test_nothing_is_added_to_a_job_that_has_ended(act, job, owner):
    type(job).objects.filter(pk=job.pk).update(closed_at=job.opened_at, closed_by=owner, closed_as="KEPT")

    for press in (
        lambda: services.add_finding(act(), job, "drips"),
        lambda: services.add_loose_part(act(), job, "Tank", 1),
        lambda: services.look_at_all_faces(act(), job),
        lambda: services.add_photos(act(), job, [kept(1)], face="", purpose=PhotoFor.SOLD),
    ):
        with pytest.raises(Refused, match="This job has ended"):
            press()
    assert (Finding.objects.count(), LoosePart.objects.count(), JournalEntry.objects.count()) == (0, 0, 0)


@pytest.mark.parametrize("what", ["finding", "part", "nothing", "photo", "end"])
def test_an_act_is_undone_once(act, job, what):
    press = {
        "finding": lambda: services.add_finding(act(), job, "drips"),
        "part": lambda: services.add_loose_part(act(), job, "Tank", 1),
        "nothing": lambda: services.answer_nothing(act(), job, NothingOf.FOUND),
        "photo": lambda: services.add_photos(act(), job, [kept(1)], face="", purpose=PhotoFor.ARRIVAL),
        "end": lambda: services.end_finding(act(), factories.FindingFactory(job=job), FindingEnd.MENDED, "seal"),
    }[what]
    entry = press()

    UNDO[entry.verb](act(), entry)

    left = {
        "finding": Finding.objects.count,
        "part": LoosePart.objects.count,
        "nothing": Nothing.objects.count,
        "photo": Photo.objects.filter(struck=False, corrected_by__isnull=True).count,
        "end": Finding.objects.exclude(end="OPEN").count,
    }[what]
    assert left() == 0
    with pytest.raises(Refused):
        UNDO[entry.verb](act(), entry)


def test_what_the_seller_said_is_changed_by_version(act, job):
    purchase = factories.PurchaseFactory(job=job)
    services.change_said(act(), purchase, 1, "It drips.")

    with pytest.raises(Stale) as stale:
        services.change_said(act(), purchase, 1, "It is as new.")

    assert (stale.value.columns, Purchase.objects.get().said) == ({"said": "It drips."}, "It drips.")
