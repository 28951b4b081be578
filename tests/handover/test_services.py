"""Told before agreed, reserved, issued once, handed over, undone: against the database, on the demo's machine."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from demo_fixtures import scenario, steps_intake
from handover import services, store, strip, tellings
from handover.forms import ReservationForm
from handover.models import HandedOver, Reservation, Sheet, Told
from handover.outdated import outdated
from handover.services import NewReservation
from handover.sheet import SheetContent
from intake.models import FaceLook, Mark
from intake.photos import open_photo
from tests.house import NOW
from workshop.bench.services import work
from workshop.core.acts import AlreadyDone, Refused
from workshop.core.models import Counter, Job, Machine
from workshop.pricing import services as pricing
from workshop.trade.condition.scoring import Face, MarkKind, Shows


def new(price_minor=52000, **changes):
    values = {
        "buyer_name": "P. Sund",
        "buyer_phone": "01632 960101",
        "price_minor": price_minor,
        "collect_on": None,
        "agreed": "",
        "drinks_per_day": Decimal(4),
        "milk_drinks_per_day": Decimal(1),
        "water": "UNKNOWN",
        "hardness_mg_l": None,
        "has_scale": "YES",
        "has_grinder": "NO",
        "coffee_kind": "READY_GROUND",
    }
    return NewReservation(**{**values, **changes})


def issue(demo, job, key=None):
    act = demo.act(0, demo.owner)
    return services.issue(type(act)(by=act.by, at=act.at, key=key), job, photo=open_photo)


def test_nothing_is_agreed_before_the_buyer_was_told(demo):
    scenario.at_price(demo)
    job = Job.objects.for_page().get()

    with pytest.raises(Refused, match="Show the buyer every mark"):
        services.reserve(demo.act(0), job, new())

    assert Reservation.objects.count() == 0


def test_a_mark_added_since_asks_to_be_told_again(demo):
    scenario.at_price(demo)
    job = Job.objects.for_page().get()
    services.tell(demo.act(1), job, how="SCREEN")
    steps_intake.mark(demo, 0.5, job, Face.BACK, "middle", MarkKind.DENT, "4", Shows.FELT)

    with pytest.raises(Refused, match="Something was added"):
        services.reserve(demo.act(0), job, new())


def test_an_issued_sheet_is_numbered_hashed_and_kept_byte_for_byte(demo, ready):
    issue(demo, ready)

    sheet = Sheet.objects.get()
    kept = store.path_of(sheet.sha256).read_bytes()
    assert (sheet.number, sheet.pages, kept[:5]) == (1, 2, b"%PDF-")
    content = SheetContent.from_json(sheet.content)
    assert content.settings is not None
    assert [str(figure) for figure in content.settings.figures] == ["16.5\u00a0g", "34\u00a0g", "26.5\u00a0s"]


def test_the_sheet_prints_this_units_own_values(demo, ready):
    issue(demo, ready)

    content = SheetContent.from_json(Sheet.objects.get().content)
    readings = {row.what: (row.limit, row.measured) for row in content.readings}
    assert readings["Earth path, plug to metal"] == ("0.129 ohm or less", "0.09\u00a0ohm")
    assert content.settings.grinder.setting == "12 (1 is finest)"
    assert [mark.number for mark in content.condition.marks] == [1, 2, 3]
    assert content.care[0].first.endswith("2026")


def test_pressing_issue_twice_is_one_sheet_and_the_next_press_the_next_number(demo, ready):
    issue(demo, ready, key="k1")
    with pytest.raises(AlreadyDone):
        issue(demo, ready, key="k1")
    issue(demo, ready, key="k2")

    assert list(Sheet.objects.order_by("number").values_list("number", flat=True)) == [1, 2]
    assert Counter.objects.get(name="sheet").last == 2


def test_no_sheet_while_prove_is_open_and_no_number_is_lost(demo, ready):
    work.open_case(demo.act(0.5), ready, why="a look inside")

    with pytest.raises(Refused, match="Prove is not finished"):
        issue(demo, ready)

    assert (Sheet.objects.count(), Counter.objects.filter(name="sheet").count()) == (0, 0)


def test_no_sheet_while_nobody_spoke_of_the_serial(demo, ready):
    Machine.objects.update(serial="", serial_unreadable=False)
    ready = Job.objects.for_page().get(pk=ready.pk)

    with pytest.raises(Refused, match="Type the serial number, or say that it cannot be read"):
        issue(demo, ready)


def test_no_sheet_prints_the_condition_of_a_machine_nobody_looked_at(demo, ready):
    Mark.objects.all().delete()
    FaceLook.objects.all().delete()

    with pytest.raises(Refused, match="Walk round it first"):
        issue(demo, ready)


def test_an_open_balance_blocks_until_it_is_owed_in_words(demo, ready):
    issue(demo, ready)
    services.answer_new_since(demo.act(0), ready, words="")

    with pytest.raises(Refused, match="balance is not nil"):
        services.hand_over(demo.act(0), ready, owed_words="")
    services.hand_over(demo.act(0), ready, owed_words="M. Tolland transfers the rest by Friday")

    ready.refresh_from_db()
    assert ready.closed_as == "SOLD_PROVED"


def test_handing_over_is_undone_until_the_next_day_and_not_after(demo, ready):
    issue(demo, ready)
    services.answer_new_since(demo.act(0), ready, words="")
    pricing.record_payment(demo.act(0), ready.sales.get(), 44000, "card", "balance")
    services.hand_over(demo.act(0), ready, owed_words="")
    row = HandedOver.objects.select_related("job__machine").get()
    late = demo.act(0)

    with pytest.raises(Refused, match="too late"):
        services.take_back_hand_over(type(late)(by=late.by, at=NOW + timedelta(days=2)), row)
    services.take_back_hand_over(demo.act(0), row)

    ready.refresh_from_db()
    assert ready.closed_at is None


def test_a_cancelled_reservation_frees_the_machine_and_keeps_the_payment(demo, ready):
    row = Reservation.objects.select_related("job__machine", "sale").get()

    services.cancel_reservation(demo.act(0), row)

    assert row.sale.payments.count() == 1
    services.reserve(demo.act(0), ready, new())
    assert Reservation.objects.filter(cancelled_at__isnull=True).get().buyer.name == "P. Sund"


@pytest.mark.parametrize(
    ("water", "hardness", "told"),
    [("SAME", None, "280"), ("SOFT", None, "60"), ("MEASURED", Decimal(90), "90"), ("UNKNOWN", None, "280")],
)
def test_the_descale_row_is_worked_out_for_the_buyers_water(demo, ready, water, hardness, told):
    row = Reservation.objects.get()
    services.change_reservation(demo.act(0), row, row.version, {"water": water, "hardness_mg_l": hardness})

    issue(demo, ready)

    content = SheetContent.from_json(Sheet.objects.get().content)
    descale = next(care.words for care in content.care if care.words.startswith("Descale"))
    assert descale.split("\u00a0")[0] == f"Descale: {told}"


def test_a_hold_by_law_refuses_a_reservation(demo):
    scenario.at_price(demo)
    job = Job.objects.for_page().get()
    services.tell(demo.act(1), job, how="SCREEN")
    job.purchase.hold_until_on = NOW.date() + timedelta(days=3)
    job.purchase.save()

    with pytest.raises(Refused, match="On hold by law"):
        services.reserve(demo.act(0), job, new())


def test_a_mark_added_after_the_sheet_asks_for_the_next_one_before_it_leaves(demo, ready):
    issue(demo, ready)
    sheet = Sheet.objects.get()
    assert outdated(ready, sheet) == ""

    steps_intake.mark(demo, 0, ready, Face.TOP, "middle", MarkKind.CRACK, "20", Shows.FELT)
    assert outdated(ready, sheet) == "Sheet 1 does not say what is so today: the marks. Issue the next one."
    with pytest.raises(Refused, match="Issue the next one"):
        services.hand_over(demo.act(0), ready, owed_words="by Friday")

    issue(demo, ready)
    assert outdated(ready, Sheet.objects.latest("number")) == ""


def test_what_is_new_on_the_day_is_told_agreed_and_printed(demo, ready):
    issue(demo, ready)
    services.answer_new_since(demo.act(0), ready, words="tank lid cracked on the way")

    with pytest.raises(Refused) as refused:
        services.hand_over(demo.act(0), ready, owed_words="by Friday")
    assert "Something was added since the buyer was told: tell them again." in refused.value.reasons
    services.tell(demo.act(0), ready, how="SCREEN")
    services.answer_new_since(demo.act(0), ready, words="")
    issue(demo, ready)
    services.hand_over(demo.act(0), ready, owed_words="by Friday")

    content = SheetContent.from_json(Sheet.objects.latest("number").content)
    assert any(line.startswith("tank lid cracked on the way") for line in content.left)
    assert content.defects is not None


def test_a_day_that_has_passed_or_never_comes_is_no_day_to_collect(demo):
    scenario.at_price(demo)
    job = Job.objects.for_page().get()
    services.tell(demo.act(1), job, how="SCREEN")

    with pytest.raises(Refused, match="This day has passed"):
        services.reserve(demo.act(0), job, new(collect_on=demo.day(1)))
    with pytest.raises(Refused, match="more than 10 years away"):
        services.reserve(demo.act(0), job, new(collect_on=demo.day(-3700)))
    form = ReservationForm({"collect_on": "9999-12-31"})
    assert form.errors["collect_on"] == ["This is after the year 2099. Check the year."]

    assert Reservation.objects.count() == 0


def gone(demo, job):
    issue(demo, job)
    services.answer_new_since(demo.act(0), job, words="")
    services.hand_over(demo.act(0), job, owed_words="the rest by Friday")
    return Job.objects.for_page().get(pk=job.pk)


def test_after_it_has_gone_nothing_told_counted_or_issued_changes(demo, ready):
    job = gone(demo, ready)
    row = Reservation.objects.select_related("job__machine", "sale").get()

    for press in (
        lambda: services.tell(demo.act(0), job, how="SPOKEN"),
        lambda: services.receive(demo.act(0), job, lines=["the machine alone"]),
        lambda: services.answer_new_since(demo.act(0), job, words=""),
        lambda: issue(demo, job),
        lambda: services.change_reservation(demo.act(0), row, row.version, {"agreed": "else"}),
        lambda: services.cancel_reservation(demo.act(0), row),
    ):
        with pytest.raises(Refused, match="stays as it was"):
            press()

    assert (Told.objects.count(), Sheet.objects.count()) == (1, 1)


def test_the_page_of_a_machine_that_has_gone_offers_no_press_on_its_past(demo, ready, client):
    client.force_login(demo.owner)
    address = reverse("handover:handover", args=[ready.machine.slug])
    assert "The buyer was told all this" in client.get(address).content.decode()

    gone(demo, ready)
    page = client.get(address).content.decode()
    offered = ("told all this", ">Counted<", "Nothing is new", "Issue the", "Cancel the reservation", ">Change<")
    assert [words for words in offered if words in page] == []
    assert "Handed over</dt>" in page
    assert "Collects" not in page
    assert "14 May 2026" in strip.reservation(Job.objects.for_page().get(pk=ready.pk))["lines"][0][1]


def test_the_page_shows_the_telling_that_the_agreement_rests_on(demo, ready):
    agreed = Reservation.objects.get()
    services.tell(demo.act(0), ready, how="SPOKEN")

    first, again = tellings.tellings(ready, agreed)
    assert (first.words[:19], first.meaning) == ("Shown on the screen", "The agreement rests on this.")
    assert (again.words[:10], again.meaning) == ("Said aloud", "Told again.")


def test_nobody_is_told_of_a_machine_that_nobody_looked_over(demo, client):
    steps_intake.log(demo, 1, "Plover", 3800, 5, seller_name="T. Harrow", place="Shelf A")
    job = Job.objects.for_page().get()
    client.force_login(demo.owner)
    page = client.get(reverse("handover:handover", args=[job.machine.slug])).content.decode()

    assert "Nobody has looked it over yet, nothing was measured." in page
    assert "everything tested" not in page
    assert "The buyer was told all this" not in page
    with pytest.raises(Refused, match="Nobody has looked it over yet"):
        services.tell(demo.act(0), job, how="SCREEN")
