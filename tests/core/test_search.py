"""Texts folded for Find, and the entries that services keep."""

import pytest

from intake import found
from intake import services as intake
from intake.models import Finding
from tests.factories import JobFactory, PersonFactory
from tests.intake.factories import MarkFactory, PurchaseFactory
from workshop.bench.services import work
from workshop.core import search, services
from workshop.core.models import SearchEntry, Shop
from workshop.core.words import FoundIn


def entry(job, source):
    row = SearchEntry.objects.filter(job=job, source=source).first()
    return row.folded if row else None


@pytest.mark.parametrize(
    ("typed", "folded"),
    [
        ("Größe", "grosse"),
        ("GROẞE", "grosse"),
        ("Crème Brûlée à Nîmes", "creme brulee a nimes"),
        ("Ølgod Æbleskiver", "olgod aebleskiver"),
        ("Łódź Þór Đorđe", "lodz thor dorde"),
        ("Ａ\u00a0B\u2009c", "a b c"),
        ("e\u0301 and \u00e9", "e and e"),
        ("a\x00b\u202ec", "a b c"),
        ("  two   spaces ", "two spaces"),
        ("\U0001f527 spanner", "\U0001f527 spanner"),
        ("", ""),
    ],
)
def test_case_and_accents_and_unseen_characters_fold_away(typed, folded):
    assert search.fold(typed) == folded


def test_a_letter_with_two_spellings_is_kept_both_ways():
    assert search.folds("Müller") == ("muller", "mueller")
    assert search.folds("Sørensen") == ("sorensen", "soerensen")
    assert search.folds("Maple") == ("maple",)


def test_a_serial_is_found_without_its_hyphens_too():
    assert search.folded("AB-0456 / 22", FoundIn.SERIAL) == "ab-0456 / 22\nab045622"


def test_logging_a_machine_indexes_what_was_said_of_it(act, shop):
    new = intake.NewMachine(
        maker="Fennick", model="Heron", kind="LEVER", price_minor=8500, seller_name="Zoë Ångström", place="Shelf Ö",
        said="Tropft, wenn heiß", serial="77-31",
    )  # fmt: skip

    job = intake.log_machine(act(), shop, new).job

    kept = dict(SearchEntry.objects.filter(job=job).values_list("source", "folded"))
    assert kept == {
        "NAME": job.machine.name.lower(),
        "SERIAL": "77-31\n7731",
        "MODEL": "fennick heron",
        "PLACE": "shelf o\nshelf oe",
        "SELLER": "zoe angstrom\nzoe aangstroem",
        "SAID": "tropft, wenn heiss",
    }


def test_a_machine_that_moves_or_changes_is_found_by_its_new_words_only(act, job):
    services.move_machine(act(), job.machine, 1, "Shelf B")
    services.change_machine(act(), job.machine, 2, {"serial": "X-1"})
    services.move_machine(act(), job.machine, 3, "Counter")

    assert (entry(job, "PLACE"), entry(job, "SERIAL")) == ("counter", "x-1\nx1")


def test_every_job_of_a_machine_follows_its_facts(act, job):
    job.closed_at, job.closed_by, job.closed_as = act().at, act().by, "KEPT"
    job.save()
    again = JobFactory(machine=job.machine)

    services.move_machine(act(), job.machine, 1, "Shelf B")

    assert (entry(job, "PLACE"), entry(again, "PLACE")) == ("shelf b", "shelf b")


def test_an_entry_that_lost_its_words_is_gone(act, job):
    services.change_machine(act(), job.machine, 1, {"serial": ""})

    assert entry(job, "SERIAL") is None
    assert entry(job, "NAME") == job.machine.name.lower()


def test_findings_are_found_by_their_words_and_by_how_they_ended(act, job):
    intake.add_finding(act(), job, "Drips from the tap")
    intake.add_finding(act(), job, "Gauge stuck")
    intake.end_finding(act(), Finding.objects.get(words="Gauge stuck"), "MENDED", "new spring")

    assert entry(job, "FINDING") == "drips from the tap gauge stuck new spring"


def test_a_mark_taken_back_is_not_found(act, job):
    mark = MarkFactory(walk__job=job, kind="dent", zone="")
    intake.mend_mark(act(), mark)
    assert entry(job, "MARK") == "front dent"

    intake.take_mark_back(act(), mark)

    assert entry(job, "MARK") is None


def test_work_taken_back_is_not_found(act, job):
    entry_of_work = work.add_work(act(), job, station="MEND", what="New pump", minutes=5, part=None)
    assert entry(job, "WORK") == "new pump"

    work.strike_work(act(), job.work.get(pk=entry_of_work.subject.rsplit(":")[1]))

    assert entry(job, "WORK") is None


def test_a_renamed_seller_is_found_by_the_new_name_only(act, job):
    person = PersonFactory(name="R. Old")
    bought = PurchaseFactory(job=job, seller=person)
    intake.change_purchase(act(), Shop.objects.get(), bought, 1, typed(bought, person))

    services.change_person(act(), person, 1, {"name": "R. Neu"})

    assert entry(job, "SELLER") == "r. neu"


def test_an_erased_seller_leaves_no_trace(act, job):
    person = PersonFactory(name="R. Old")
    PurchaseFactory(job=job, seller=person)
    found.refresh(job, FoundIn.SELLER)

    services.change_person(act(), person, 1, {"name": ""})

    assert entry(job, "SELLER") is None


def test_renamed_model_notes_rename_every_machine_of_theirs(act, job):
    search.refresh_machine(job.machine)
    notes = job.machine.notes

    services.save_notes(act(), notes, 1, {"maker": "Fennick", "model": "Wren"})

    assert entry(job, "MODEL") == "fennick wren"


def typed(bought, person):
    return {
        "seller_name": person.name,
        "seller_phone": person.phone,
        "price_minor": bought.price_minor,
        "acquired_on": bought.acquired_on,
    }


def test_one_row_a_job_holds_all_its_words_and_follows_each_change(act, job):
    search.refresh_machine(job.machine)
    person = PersonFactory(name="R. Old")
    PurchaseFactory(job=job, seller=person)
    found.refresh(job, FoundIn.SELLER)
    name = job.machine.name.lower()
    assert job.search_text.folded == f"{entry(job, 'MODEL')}\n{name}\nr. old\n0456-22\n045622"

    services.change_person(act(), person, 1, {"name": ""})
    services.move_machine(act(), job.machine, 1, "Shelf A")
    services.change_place(act(), job.machine.place, 1, name="Shelf B", holds_several=True)

    job.search_text.refresh_from_db()
    assert job.search_text.folded == f"{entry(job, 'MODEL')}\n{name}\nshelf b\n0456-22\n045622"
