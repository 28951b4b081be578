"""Machines looked at: kept, worked out anew, dropped, bought once; who sells them is forgotten in time."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from intake.models import Walk
from tests.factories import JobFactory, ModelNotesFactory
from tests.pricing.factories import NOON, SightingFactory, worked_shop
from workshop.core.acts import AlreadyDone, Odd, Refused, Stale
from workshop.core.models import JournalEntry, Machine, ModelNotes, Person, Place
from workshop.desk.undo import UNDO
from workshop.pricing import services
from workshop.pricing.models import Sighting

pytestmark = pytest.mark.django_db


def typed(**more):
    return {
        "notes": None,
        "maker": "Hollin",
        "model": "Dunlin",
        "kind": "LEVER",
        "asked_minor": 16000,
        "seller_name": "E. Corrie",
        "seller_phone": "01632 960162",
        "said": "The lever slips.",
        "price_minor": 40000,
        "minutes": 120,
        "parts_minor": 3500,
        "profit_minor": 6000,
        "not_mended_percent": Decimal(15),
        "salvage_minor": 6000,
        **more,
    }


@pytest.fixture
def ours(shop):
    return worked_shop(shop, tax_rule="UK_MARGIN", hourly_rate_minor=2400, overhead_minor_per_h=600)


@pytest.fixture
def seen(act, ours):
    services.keep_sighting(act(), ours, typed())
    return Sighting.objects.get()


def test_it_is_kept_with_its_answer_and_the_lines(act, ours):
    entry = services.keep_sighting(act("k"), ours, typed())

    row = Sighting.objects.get()
    assert (str(row), row.bid_minor, row.tax_rule, row.worked_out_at) == ("Hollin Dunlin", 11402, "UK_MARGIN", NOON)
    assert sum(line[2] for line in row.breakdown["together"]) == 11402
    assert (entry.sentence, entry.area) == ("Looked at Hollin Dunlin: at most £114.02", "MONEY")
    with pytest.raises(AlreadyDone):
        services.keep_sighting(act("k"), ours, typed())
    assert Sighting.objects.count() == 1


def test_what_is_not_even_a_gift_is_kept_too(act, ours):
    entry = services.keep_sighting(act(), ours, typed(parts_minor=50000))

    row = Sighting.objects.get()
    assert (row.bid_minor, row.no_price[:18]) == (None, "Not even as a gift")
    assert entry.sentence == "Looked at Hollin Dunlin: not even as a gift"


def test_it_is_worked_out_anew_by_the_rates_of_the_day(act, ours, seen):
    ours.hourly_rate_minor = 0
    services.change_sighting(act(), ours, seen, seen.version, typed(profit_minor=0))

    seen.refresh_from_db()
    assert seen.bid_minor > 11402 + 6000
    with pytest.raises(Stale):
        services.change_sighting(act(), ours, seen, 1, typed())


def test_the_journal_never_holds_who_sells_it(act, ours, seen):
    services.change_sighting(
        act(), ours, seen, seen.version, typed(seller_name="F. Other", seller_phone="01632 960199")
    )
    services.drop_sighting(act(), seen, seen.version, "They want more.")

    kept = str([(e.sentence, e.before, e.after) for e in JournalEntry.objects.all()])
    assert "Corrie" not in kept
    assert "Other" not in kept
    assert "9601" not in kept


def test_bought_in_one_press_with_all_that_is_known(act, ours, seen):
    entry = services.buy_sighting(act("k"), ours, seen, seen.version, price_minor=11000, place="Shelf A")

    machine = Machine.objects.get()
    bought = machine.jobs.get().purchase
    assert (str(machine.notes), machine.notes.kind, str(machine.place)) == ("Hollin Dunlin", "LEVER", "Shelf A")
    assert (bought.price_minor, bought.said, bought.seller.name) == (11000, "The lever slips.", "E. Corrie")
    assert (bought.seller.phone, bought.tax_rule, Walk.objects.count()) == ("01632 960162", "UK_MARGIN", 1)
    seen.refresh_from_db()
    assert (seen.job.machine, seen.seller_name, seen.seller_phone) == (machine, "", "")
    assert entry.machine == machine


def test_a_second_press_is_the_same_machine_and_another_tab_is_told(act, ours, seen):
    before = Sighting.objects.get()
    first = services.buy_sighting(act("k"), ours, seen, seen.version, price_minor=11000, place="Shelf A")

    with pytest.raises(AlreadyDone) as again:
        services.buy_sighting(act("k"), ours, before, before.version, price_minor=11000, place="Shelf A")
    with pytest.raises(Stale):
        services.buy_sighting(act("l"), ours, before, before.version, price_minor=11000, place="Shelf A")
    with pytest.raises(Refused, match="bought already"):
        services.buy_sighting(act("m"), ours, seen, seen.version, price_minor=11000, place="Shelf A")

    assert again.value.entry == first
    assert Machine.objects.count() == 1


def test_a_known_model_keeps_its_notes(act, ours):
    notes = ModelNotesFactory(kind="LEVER", watts=1400)
    services.keep_sighting(act(), ours, typed(notes=notes, maker="", model="", seller_name="", seller_phone=""))
    row = Sighting.objects.get()

    services.buy_sighting(act(), ours, row, row.version, price_minor=0, place="Shelf A")

    machine = Machine.objects.get()
    assert (machine.notes, machine.watts, machine.jobs.get().purchase.seller) == (notes, 1400, None)
    assert (ModelNotes.objects.count(), Person.objects.count()) == (1, 0)


def test_dropped_with_a_reason_and_taken_up_again(act, ours, seen):
    entry = services.drop_sighting(act(), seen, seen.version, "They want more.")

    assert (seen.dropped_because, seen.dropped_at, seen.seller_name) == ("They want more.", NOON, "E. Corrie")
    assert entry.sentence == "Not bought: Hollin Dunlin, They want more."
    with pytest.raises(Refused, match="dropped"):
        services.buy_sighting(act(), ours, seen, seen.version, price_minor=11000, place="Shelf A")
    UNDO["drop_sighting"](act(), entry)
    seen.refresh_from_db()
    assert (seen.dropped_because, seen.dropped_at, seen.seller_name) == ("", None, "E. Corrie")
    with pytest.raises(Refused, match="taken up again already"):
        services.take_up_sighting(act(), seen)


@pytest.mark.parametrize(("days", "kept"), [(30, "E. Corrie"), (31, "")])
def test_who_sells_what_was_dropped_is_forgotten_after_thirty_days(act, ours, seen, days, kept):
    services.drop_sighting(act(), seen, seen.version, "They want more.")

    services.keep_sighting(act(at=NOON + timedelta(days=days)), ours, typed(seller_name="", seller_phone=""))

    seen.refresh_from_db()
    assert (seen.seller_name, bool(seen.seller_phone)) == (kept, bool(kept))


def test_more_than_the_most_to_pay_is_asked_about_once(act, ours, seen):
    JobFactory(machine__place=Place.objects.create(name="Shelf A", holds_several=False), machine__stock_number=900)
    buying = {"price_minor": 18500, "place": "Shelf A"}

    with pytest.raises(Odd) as dear:
        services.buy_sighting(act(), ours, seen, seen.version, **buying)
    assert dear.value.reasons == ("£185.00 is more than the most to pay, £114.02. Buy it all the same? Press again.",)
    with pytest.raises(Odd, match="a spot for one") as taken:
        services.buy_sighting(act(), ours, seen, seen.version, **buying, sure=dear.value.about)
    with pytest.raises(Odd, match="more than the most to pay"):  # a yes holds for the very price asked about
        services.buy_sighting(
            act(), ours, seen, seen.version, **buying | {"price_minor": 19000}, sure=taken.value.about
        )
    services.buy_sighting(act(), ours, seen, seen.version, **buying, sure=taken.value.about)

    assert Sighting.objects.get().job.purchase.price_minor == 18500


def test_what_is_no_gift_is_asked_about_too(act, ours):
    services.keep_sighting(act(), ours, typed(parts_minor=50000))
    row = Sighting.objects.get()

    with pytest.raises(Odd, match="not worth it even as a gift"):
        services.buy_sighting(act(), ours, row, row.version, price_minor=500, place="Shelf A")


def test_keeping_by_a_slip_is_undone_by_dropping(act, seen):
    UNDO["keep_sighting"](act(), JournalEntry.objects.get(verb="keep_sighting"))

    seen.refresh_from_db()
    assert seen.dropped_because == "Kept by a slip."


def test_only_the_owner_may(act, ours, seen, technician):
    theirs = act(by=technician)
    for press in (
        lambda: services.keep_sighting(theirs, ours, typed()),
        lambda: services.change_sighting(theirs, ours, seen, seen.version, typed()),
        lambda: services.drop_sighting(theirs, seen, seen.version, "No."),
        lambda: services.take_up_sighting(theirs, seen),
        lambda: services.buy_sighting(theirs, ours, seen, seen.version, price_minor=1, place="Shelf A"),
    ):
        with pytest.raises(Refused, match="Only the owner"):
            press()
    assert (Sighting.objects.count(), Machine.objects.count()) == (1, 0)


@pytest.mark.parametrize(
    ("rule", "columns"),
    [
        ("kind_known", {"kind": "KETTLE"}),
        ("tax_rule_known", {"tax_rule": "NIL"}),
        ("asked_minor_at_least", {"asked_minor": -1}),
        ("bid_minor_at_least", {"bid_minor": -1}),
        ("percent_of_a_hundred", {"not_mended_percent": Decimal(101)}),
        ("has_notes_or_a_name", {"notes": None, "maker": "Hollin"}),
        ("answered", {"bid_minor": None}),
        ("answered", {"no_price": "Not even as a gift."}),
        ("dropped_in_words", {"dropped_because": "They want more."}),
        ("dropped_at_and_by", {"dropped_at": NOON, "dropped_because": "They want more."}),
    ],
)
def test_what_the_database_itself_refuses(rule, columns):
    with pytest.raises(IntegrityError, match=f"pricing_sighting_{rule}"), transaction.atomic():
        SightingFactory(**columns)
