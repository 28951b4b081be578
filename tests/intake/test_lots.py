"""Several machines for one price: logged in one act, shared to the penny, put right as a whole."""

from datetime import date

import pytest
from django.urls import reverse

from intake import services
from intake.models import Lot, Purchase
from intake.services import NewLot, NewMachine
from intake.undo import UNDO
from tests.factories import ModelNotesFactory, ShopFactory
from workshop.core.acts import Refused, Stale
from workshop.core.models import Job, JournalEntry, Machine, ModelNotes, Person
from workshop.core.words import Area
from workshop.trade.money.lots import LotRule

LOG = reverse("intake:machine_log_several")


def new(price_minor=10000, weights=(None, None, None), rule=LotRule.EQUAL, **more):
    notes = ModelNotesFactory()
    values = {"notes": notes, "price_minor": 0, "seller_name": "R. Osgood", "place": "Shelf B", **more}
    machines = tuple(NewMachine(**values, serial=f"S-{n}") for n, _ in enumerate(weights))
    return NewLot(price_minor, rule, machines, tuple(weights))


def shares():
    return list(Purchase.objects.order_by("pk").values_list("price_minor", flat=True))


def test_a_lot_is_logged_in_one_act_each_machine_with_its_own_name(act, shop):
    entry = services.log_lot(act(key="k1"), shop, new())

    lot = Lot.objects.get()
    assert shares() == [3334, 3333, 3333]
    assert len(set(Machine.objects.values_list("name", flat=True))) == 3
    assert list(Machine.objects.order_by("pk").values_list("stock_number", flat=True)) == [1, 2, 3]
    assert set(Purchase.objects.values_list("lot", flat=True)) == {lot.pk}
    assert (Job.objects.count(), Person.objects.count(), JournalEntry.objects.count()) == (3, 1, 1)
    assert (entry.area, entry.after["shares_minor"]) == (Area.MONEY, [3334, 3333, 3333])
    assert "Osgood" not in f"{entry.sentence}{entry.after}"


def test_the_hold_of_the_place_reaches_every_machine(act):
    shop = ShopFactory(country="AU-VIC")

    services.log_lot(act(), shop, new(acquired_on=date(2026, 5, 2)))

    assert set(Purchase.objects.values_list("hold_until_on", flat=True)) == {date(2026, 5, 9)}


@pytest.mark.parametrize(
    ("lot", "said"),
    [
        ({"weights": (None,)}, "two machines or more"),
        ({"rule": LotRule.BY_EXPECTED, "weights": (100, None)}, "Type what each machine should fetch"),
        ({"rule": LotRule.BY_EXPECTED, "weights": (0, 0)}, "nothing in all"),
        ({"acquired_on": date(2030, 1, 1)}, "in the future"),
    ],
)
def test_a_lot_that_cannot_be_is_refused_whole(act, shop, lot, said):
    with pytest.raises(Refused, match=said):
        services.log_lot(act(), shop, new(**lot))

    assert (Lot.objects.count(), Machine.objects.count(), JournalEntry.objects.count()) == (0, 0, 0)


def test_only_the_owner_logs_and_changes_a_lot(act, technician, technician_in, shop):
    with pytest.raises(Refused, match="Only the owner"):
        services.log_lot(act(by=technician), shop, new())
    services.log_lot(act(), shop, new())
    lot = Lot.objects.get()
    with pytest.raises(Refused, match="Only the owner"):
        services.change_lot(act(by=technician), lot, 1, 1)
    for address in (LOG, reverse("intake:lot", args=[lot.pk])):
        assert technician_in.get(address).status_code == 403


def test_a_price_put_right_is_shared_anew_by_the_same_rule(act, shop):
    services.log_lot(act(), shop, new(rule=LotRule.BY_EXPECTED, weights=(20000, 30000, 50000)))
    lot = Lot.objects.get()

    services.change_lot(act(), lot, 1, 30001)

    assert (shares(), sum(shares())) == ([6000, 9000, 15001], 30001)
    with pytest.raises(Stale):
        services.change_lot(act(), lot, 1, 5)


def test_one_share_is_not_changed_alone(act, shop):
    services.log_lot(act(), shop, new())
    share = Purchase.objects.select_related("job__machine").first()
    values = {"seller_name": "R. Osgood", "seller_phone": "", "acquired_on": share.acquired_on, "bought_at": "a barn"}

    with pytest.raises(Refused, match="share of a lot") as refused:
        services.change_purchase(act(), shop, share, 1, {**values, "price_minor": 1})

    assert refused.value.field == "price_minor"
    services.change_purchase(act(), shop, share, 1, {**values, "price_minor": share.price_minor})
    assert (share.bought_at, shares()) == ("a barn", [3334, 3333, 3333])


# The page


@pytest.fixture
def typed(db):
    notes = ModelNotesFactory()
    return {
        "key": "k1", "lines": "4", "price_minor": "100", "rule": "BY_EXPECTED", "seller_name": "R. Osgood",
        "place": "Shelf B", "notes_0": notes.pk, "fetch_minor_0": "200", "notes_2": notes.pk, "fetch_minor_2": "300",
    }  # fmt: skip


def test_lines_left_empty_count_for_nothing(client_in, typed):
    response = client_in.post(LOG, typed)

    lot = Lot.objects.get()
    assert (response.status_code, response["Location"]) == (302, reverse("intake:lot", args=[lot.pk]))
    assert shares() == [4000, 6000]
    page = client_in.get(response["Location"]).content.decode()
    for words in ("£40.00", "£60.00", "£100.00", "£200.00", "largest remainder"):
        assert words in page


def test_five_presses_are_one_lot(client_in, typed):
    assert len({client_in.post(LOG, typed)["Location"] for _ in range(5)}) == 1
    assert (Lot.objects.count(), Machine.objects.count()) == (1, 2)


def test_more_lines_keep_what_was_typed_and_store_nothing(client_in, typed):
    page = client_in.post(LOG, {**typed, "more": "1"})

    form = page.context["form"]
    assert (page.status_code, form.count, Lot.objects.count()) == (200, 8, 0)
    assert form["fetch_minor_2"].value() == "300"
    assert form["seller_name"].value() == "R. Osgood"


@pytest.mark.parametrize(
    ("changes", "field", "said"),
    [
        ({"notes_2": ""}, "notes_2", "Machine 3: choose the model of this machine, or another one and name it."),
        (
            {"notes_2": "", "fetch_minor_2": ""},
            "notes_1",
            "Machine 2: a lot is two machines or more. Choose a model here too.",
        ),
        ({"fetch_minor_2": ""}, "fetch_minor_2", "Machine 3: type what this one should fetch, or choose equal parts."),
        ({"fetch_minor_0": "-1"}, "fetch_minor_0", "Machine 1: this amount cannot be below zero."),
        ({"rule": ""}, "rule", "Choose how the price is shared out."),
        ({"acquired_on": "2030-01-01"}, "acquired_on", "This date is in the future. Type the day you bought it."),
    ],
)
def test_a_wrong_line_is_said_beside_its_box(client_in, typed, changes, field, said):
    response = client_in.post(LOG, {**typed, **changes})

    assert (response.status_code, list(response.context["form"].errors[field])) == (422, [said])
    assert Machine.objects.count() == 0


@pytest.mark.parametrize("lines", ["", "-3", "9" * 20, "NaN", "½"])
def test_a_count_of_lines_made_by_hand_does_no_harm(client_in, typed, lines):
    response = client_in.post(LOG, {**typed, "lines": lines})

    assert response.status_code in (302, 422)


def test_another_model_is_named_on_its_line_and_twice_is_one_model(client_in, typed):
    another = {"maker_2": "Orrin", "model_2": "Wren", "kind_2": "LEVER"}
    twin = {"notes_3": "ANOTHER", "maker_3": "orrin", "model_3": "wren", "kind_3": "LEVER", "fetch_minor_3": "500"}

    page = client_in.post(LOG, {**typed, "notes_2": "", **another, "kind_2": ""})
    sent = client_in.post(LOG, {**typed, "notes_2": "", **another, **twin})

    form = page.context["form"]
    assert list(form.errors["kind_2"]) == ["Machine 3: choose a kind."]
    assert [line.names_another for line in form.rows] == [False, False, True, False]
    assert sent.status_code == 302
    assert [str(machine.notes) for machine in Machine.objects.order_by("pk")][1:] == ["Orrin Wren", "Orrin Wren"]
    assert ModelNotes.objects.filter(maker="Orrin").count() == 1


def test_without_models_each_line_names_its_own(client_in, shop):
    page = client_in.get(LOG)

    assert 'name="maker_0"' in page.content.decode()


def test_one_press_says_the_same_person_for_the_whole_lot_and_undo_takes_all_back(client_in, act, shop):
    earlier = {"notes": ModelNotesFactory(), "price_minor": 1, "seller_name": "R. Osgood", "place": "Shelf B"}
    services.log_machine(act(), shop, NewMachine(**earlier, seller_phone="01632 960100"))
    before = Person.objects.get()
    services.log_lot(act(), shop, new())
    first, *others = Purchase.objects.filter(lot__isnull=False).order_by("pk").select_related("job__machine")
    typed = first.seller
    page = reverse("intake:intake", args=[first.job.machine.slug])
    assert "Yes, for all 3 machines of the lot" in client_in.get(page).content.decode()

    client_in.post(reverse("intake:seller_same", args=[first.job.machine.slug, before.pk]), {"key": "k", "lot": "1"})

    assert {row.seller for row in Purchase.objects.filter(lot=first.lot)} == {before}
    entry = JournalEntry.objects.get(verb="use_seller")
    whose = f"The seller of {first.job.machine} and of 2 more of its lot"
    assert entry.sentence == f"{whose} is somebody we bought from before"
    UNDO["use_seller"](act(), entry)
    assert {row.seller for row in Purchase.objects.filter(lot=first.lot)} == {typed}
    assert len(others) == 2


def test_the_purchase_says_its_lot_and_rule_to_the_owner_only(client_in, technician_in, act, shop):
    services.log_lot(act(), shop, new())
    intake = reverse("intake:intake", args=[Machine.objects.first().slug])

    assert "Shared out in equal parts" in client_in.get(intake).content.decode()
    assert "Shared out" not in technician_in.get(intake).content.decode()


def test_the_price_of_a_lot_is_put_right_on_its_page(client_in, act, shop):
    services.log_lot(act(), shop, new())
    address = reverse("intake:lot", args=[Lot.objects.get().pk])

    assert client_in.post(address, {"key": "k", "version": "1", "price_minor": "x"}).status_code == 422
    assert client_in.post(address, {"key": "k", "version": "1", "price_minor": "200"}).status_code == 302
    assert sum(shares()) == 20000
    assert client_in.post(address, {"key": "k2", "version": "1", "price_minor": "300"}).status_code == 409


def test_a_lot_of_thirty_costs_as_many_questions_as_a_lot_of_two(client_in, act, shop, django_assert_max_num_queries):
    counts = []
    for number in (2, 30):
        services.log_lot(act(), shop, new(weights=(None,) * number))
        address = reverse("intake:lot", args=[Lot.objects.latest("pk").pk])
        with django_assert_max_num_queries(20) as asked:
            client_in.get(address)
        counts.append(len(asked))
    assert counts[0] == counts[1]
