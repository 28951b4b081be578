"""Opening a job: name, purchase, hold, seller, notes and photos in one act."""

from datetime import date
from decimal import Decimal

import pytest

from intake import services
from intake.models import Photo, Purchase, Walk
from intake.photos import Kept
from intake.services import NewMachine
from tests.factories import ModelNotesFactory, PersonFactory, ShopFactory
from workshop.core import names
from workshop.core.acts import AlreadyDone, Odd, Refused, Stale
from workshop.core.models import Counter, Job, JournalEntry, Machine, ModelNotes, Person, Place
from workshop.core.words import Area


def new(**more):
    given = {"price_minor": 8500, "seller_name": "R. Seller", "place": "Shelf B", **more}
    if not {"notes", "maker"} & set(given):
        given["notes"] = ModelNotesFactory()
    return NewMachine(**given)


def test_a_machine_is_logged_with_its_name_job_purchase_and_walk(act, shop):
    entry = services.log_machine(act(), shop, new(serial="0456-22"))

    job = Job.objects.get()
    assert job.machine.name == names.name_for(1)
    assert job.machine.slug == names.slug_for(names.name_for(1))
    assert (job.machine.stock_number, job.machine.serial, str(job.machine.place)) == (1, "0456-22", "Shelf B")
    bought = job.purchase
    assert (bought.price_minor, bought.seller.name, bought.acquired_on) == (8500, "R. Seller", date(2026, 5, 12))
    assert list(Walk.objects.values_list("job", "kind", "rule_version")) == [(job.pk, "ARRIVAL", 2)]
    assert (entry.sentence, entry.job, entry.area) == (f"Logged {job.machine}", job, Area.MONEY)


def test_stock_numbers_run_without_a_gap(act, shop):
    notes = ModelNotesFactory()
    for _ in range(3):
        services.log_machine(act(), shop, new(notes=notes))
    with pytest.raises(Refused):
        services.log_machine(act(), shop, new(notes=notes, acquired_on=date(2030, 1, 1)))
    services.log_machine(act(), shop, new(notes=notes))

    assert list(Machine.objects.order_by("pk").values_list("stock_number", flat=True)) == [1, 2, 3, 4]


def test_a_double_press_is_one_machine(act, shop):
    first = services.log_machine(act("k"), shop, new())

    with pytest.raises(AlreadyDone) as again:
        services.log_machine(act("k"), shop, new(maker="Orrin", model="Wren", kind="LEVER"))

    assert again.value.entry == first
    assert (Machine.objects.count(), Counter.objects.get(name="stock").last, ModelNotes.objects.count()) == (1, 1, 1)


def test_a_refused_log_leaves_nothing_behind(act, shop):
    with pytest.raises(Refused) as refused:
        services.log_machine(act(), shop, new(maker="Orrin", model="Wren", kind="LEVER", acquired_on=date(2026, 5, 13)))

    assert (refused.value.field, str(refused.value)) == (
        "acquired_on",
        "This date is in the future. Type the day you bought it.",
    )
    counts = [kind.objects.count() for kind in (Machine, ModelNotes, Person, Job, JournalEntry, Counter)]
    assert counts == [0, 0, 0, 0, 0, 0]


def test_another_model_gets_notes_in_the_same_act_and_is_not_doubled(act, shop):
    services.log_machine(act(), shop, new(maker="Orrin", model="Wren", kind="LEVER"))
    services.log_machine(act(), shop, new(maker="orrin", model="WREN", kind="GRINDER"))

    assert list(ModelNotes.objects.values_list("maker", "model", "kind")) == [("Orrin", "Wren", "LEVER")]
    assert ModelNotes.objects.get().seals.filter(name="Group seal").count() == 1


def test_without_notes_or_a_whole_name_it_is_refused(act, shop):
    with pytest.raises(Refused) as refused:
        services.log_machine(act(), shop, new(maker="Orrin", model="", kind="LEVER"))
    assert refused.value.field == "notes"


def test_what_the_plate_did_not_tell_comes_from_the_notes(act, shop):
    notes = ModelNotesFactory(volts=230, watts=1400, fuse_a=13, cord_length_m=Decimal("1.20"))

    services.log_machine(act(), shop, new(notes=notes, watts=1350, cord_section_mm2=Decimal("1.00")))

    unit = Machine.objects.get()
    assert (unit.volts, unit.watts, unit.fuse_a) == (230, 1350, 13)
    assert (unit.cord_length_m, unit.cord_section_mm2) == (Decimal("1.20"), Decimal("1.00"))


@pytest.mark.parametrize(
    ("name", "phone", "known"),
    [
        ("r. seller", "01632-960-100", True),
        ("R.  Seller ", "01632 960100", True),
        ("R. Seller", "01632 960999", False),
        ("R. Seller", "", False),
        ("S. Seller", "01632 960100", False),
    ],
)
def test_a_known_seller_of_the_same_name_and_phone_is_reused(act, shop, name, phone, known):
    seller = PersonFactory(name="R. Seller", phone="01632 960100")

    services.log_machine(act(), shop, new(seller_name=name, seller_phone=phone))

    assert (Purchase.objects.get().seller == seller, Person.objects.count()) == (known, 1 if known else 2)


# The holds themselves: S-40 to S-43; here only that they reach the purchase.
@pytest.mark.parametrize(
    ("country", "until", "blocks"),
    [
        ("AU-NSW", date(2026, 5, 16), False),
        ("AU-VIC", date(2026, 5, 9), True),
        ("NZ", date(2026, 5, 16), True),
        ("GB", None, False),
    ],
)
def test_the_hold_of_the_workshops_place_is_computed(act, country, until, blocks):
    shop = ShopFactory(country=country)

    services.log_machine(act(), shop, new(acquired_on=date(2026, 5, 2)))

    bought = Purchase.objects.get()
    assert (bought.hold_until_on, bought.hold_blocks_work, bool(bought.hold_words)) == (until, blocks, True)


def test_a_technician_cannot_dodge_a_hold_by_an_earlier_day(act, technician, shop):
    shop.country = "AU-NSW"

    with pytest.raises(Refused, match="only the owner may log an earlier one"):
        services.log_machine(act(by=technician), shop, new(acquired_on=date(2026, 5, 1)))
    services.log_machine(act(by=technician), shop, new(acquired_on=date(2026, 5, 12)))
    services.log_machine(act(), shop, new(acquired_on=date(2026, 5, 1)))

    assert Job.objects.count() == 2


def test_the_tax_rule_of_the_day_stays_with_the_purchase(act, shop):
    rules = {value for value, _ in Purchase._meta.get_field("tax_rule").choices}
    shop.tax_rule = next(iter(sorted(rules - {"NONE"})))

    services.log_machine(act(), shop, new())

    assert Purchase.objects.get().tax_rule == shop.tax_rule


def test_photos_kept_before_get_their_rows_and_numbers(act, shop):
    kept = tuple(Kept(f"{n:064x}", "0" * 64, 1600, 1200) for n in (1, 2, 1))

    services.log_machine(act(), shop, new(photos=kept))

    rows = Photo.objects.order_by("pk").values_list("number", "sha", "purpose", "face")
    assert list(rows) == [(1, f"{1:064x}", "ARRIVAL", ""), (2, f"{2:064x}", "ARRIVAL", "")]


def test_changing_the_day_computes_the_hold_anew_and_a_stale_change_is_refused(act):
    shop = ShopFactory(country="AU-VIC")
    services.log_machine(act(), shop, new(acquired_on=date(2026, 5, 2)))
    bought = Purchase.objects.select_related("job__machine").get()
    values = {
        "seller_name": "S. Other",
        "seller_phone": "",
        "price_minor": 9000,
        "acquired_on": date(2026, 5, 4),
        "bought_at": "",
        "payment_method": "cash",
    }

    entry = services.change_purchase(act(), shop, bought, 1, values)

    bought.refresh_from_db()
    assert (bought.price_minor, bought.hold_until_on, bought.seller.name) == (9000, date(2026, 5, 11), "S. Other")
    assert "S. Other" not in f"{entry.sentence}{entry.before}{entry.after}"
    with pytest.raises(Stale):
        services.change_purchase(act(), shop, bought, 1, values)


@pytest.fixture
def held(act):
    """Bought in Victoria on 9 May: on hold until 16 May, and the act falls on 12 May."""
    shop = ShopFactory(country="AU-VIC")
    services.log_machine(act(), shop, new(acquired_on=date(2026, 5, 9), bought_at="a barn"))
    return shop, Purchase.objects.select_related("job__machine", "seller").get()


def test_a_hold_is_not_made_shorter_without_a_reason_and_the_record_says_old_and_new(act, held):
    shop, bought = held

    with pytest.raises(Refused) as refused:
        services.change_purchase(act(), shop, bought, 1, {"acquired_on": date(2026, 5, 1)})
    entry = services.change_purchase(
        act(), shop, bought, 1, {"acquired_on": date(2026, 5, 1), "because": "the receipt says so"}
    )

    assert refused.value.field == "because"
    assert str(refused.value) == ("The hold until 16 May 2026 would end on 8 May 2026. Say why the day is another one.")
    assert entry.sentence == (
        "Bought on 9 May 2026 -> 1 May 2026: the receipt says so; on hold until 16 May 2026 -> 8 May 2026"
    )


def test_a_hold_that_would_vanish_wants_a_reason_and_a_longer_one_wants_none(act, held):
    shop, bought = held
    shop.country = "GB"
    with pytest.raises(Refused, match="would vanish"):
        services.change_purchase(act(), shop, bought, 1, {"acquired_on": date(2026, 5, 10)})

    shop.country = "AU-VIC"
    services.change_purchase(act(), shop, bought, 1, {"acquired_on": date(2026, 5, 10)})

    assert Purchase.objects.get().hold_until_on == date(2026, 5, 17)


@pytest.mark.parametrize(
    "values",
    [{"acquired_on": date(2026, 5, 1), "because": "so"}, {"price_minor": 1}, {"seller_name": "S. Other"}],
)
def test_while_a_hold_stands_day_price_and_seller_are_the_owners(act, technician, held, values):
    shop, bought = held

    with pytest.raises(Refused, match="Only the owner"):
        services.change_purchase(act(by=technician), shop, bought, 1, values)

    entry = services.change_purchase(act(by=technician), shop, bought, 1, {"bought_at": "a fair"})
    assert entry.sentence == f"Changed the purchase of {bought.job.machine}: bought at a barn -> a fair"


def test_a_changed_purchase_names_each_field_and_of_the_seller_only_that_they_changed(act, shop):
    services.log_machine(act(), shop, new(acquired_on=date(2026, 5, 9), payment_method="cash"))
    bought = Purchase.objects.select_related("job__machine", "seller").get()
    values = {"seller_name": "S. Other", "price_minor": 9000, "payment_method": "", "bought_at": ""}

    entry = services.change_purchase(act(), shop, bought, 1, values)

    assert entry.sentence == (
        f"Changed the purchase of {bought.job.machine}: price £85.00 -> £90.00; paid by cash -> nothing; the seller"
    )


def test_a_serial_met_before_is_asked_about_once(act, shop):
    notes = ModelNotesFactory()
    Place.objects.create(name="Shelf A", holds_several=False)
    services.log_machine(act(), shop, new(notes=notes, serial="KE-77", place="Shelf A"))
    services.log_machine(act(), shop, new(serial="KE-77", place="Shelf C"))  # another model: its makers count alike
    first = Machine.objects.get(notes=notes)

    with pytest.raises(Odd, match=f"{first} bears this serial. Is it that one come back, or a second one?") as asked:
        services.log_machine(act(), shop, new(notes=notes, serial="ke-77", place="Shelf A"))
    with pytest.raises(Odd, match="stands at Shelf A") as taken:
        services.log_machine(act(), shop, new(notes=notes, serial="ke-77", place="Shelf A", sure=asked.value.about))
    services.log_machine(act(), shop, new(notes=notes, serial="ke-77", place="Shelf A", sure=taken.value.about))

    assert asked.value.field == "serial"
    assert Machine.objects.filter(notes=notes).count() == 2
