"""The page at the doorstep: four numbers at most, nothing typed is lost, the owner's alone."""

import re
from html import unescape

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import JobFactory, ModelNotesFactory
from tests.pricing.factories import ExtraCostFactory, PartFactory, SightingFactory, past_job, worked_shop
from workshop.core.models import Machine, Place
from workshop.pricing.models import Sighting
from workshop.pricing.odds import OLD_PARTS
from workshop.pricing.sighting_forms import FILLED

pytestmark = pytest.mark.django_db
PAGE = "/most-to-pay/"


def words_of(response):
    body = re.sub(r"<(script|style)\b.*?</\1>", " ", response.content.decode(), flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def boxes(response):
    """Return what stands in the number boxes."""
    form = response.context["form"]
    return {name: form[name].value() for name in FILLED}


@pytest.fixture
def ours(shop):
    return worked_shop(shop, hourly_rate_minor=2400, overhead_minor_per_h=600)


@pytest.fixture
def heron(ours):
    """A model of which three were sold."""
    notes = ModelNotesFactory(kind="HEAT_EXCHANGER")
    part = PartFactory(name="Group seal")
    for sold_minor, minutes in ((38000, 120), (40000, 140), (45000, 190)):
        past_job(notes, sold_minor=sold_minor, minutes=minutes, part=part)
    return notes


def pressed(notes, **more):
    return {"notes": str(notes.pk), "price_minor": "", "hours": "", "not_mended_percent": "", **more}


def test_with_own_jobs_behind_it_no_number_has_to_be_typed(client_in, heron):
    page = client_in.post(PAGE, pressed(heron, profit_minor="60.00"))

    assert page.status_code == 200
    # half of the jobs took 140 min; 0 of 3 failed on a guess of 1 in 10 as heavy as 3: 0.3 / 6
    assert boxes(page) == {
        "price_minor": "400.00",
        "hours": "2",
        "minutes": "20",
        "parts_minor": "3.15",
        "profit_minor": "60.00",
        "not_mended_percent": "5",
        "salvage_minor": "",
    }
    # none of 3 came back, so 60 x 1 / 13 is set aside: 4.62
    # 0.95 x (400 - 51.60 - 0.30 - 3.15 - 70 - 4.62) - 0.05 x 35 - 60 = 195.0635
    assert "The most to pay £195.06" in words_of(page)
    assert "If the work takes 3 h 10 min, as 8 in 10 jobs do at most:" in words_of(page)


def test_four_numbers_are_the_most_one_has_to_type(client_in, ours):
    page = client_in.get(PAGE)
    wanted = [name for name in FILLED if page.context["form"].fields[name].required]

    assert wanted == ["price_minor", "hours", "profit_minor", "not_mended_percent"]
    assert page.context["form"]["profit_minor"].value() == "60.00"  # of those the workshop's own profit stands there


def test_without_any_past_job_it_says_so_and_names_what_is_missing(client_in, ours):
    page = client_in.post(PAGE, pressed(ModelNotesFactory()))

    assert page.status_code == 422
    assert "No past cases: the sum uses your own guesses." in words_of(page)
    assert set(page.context["form"].errors) == {"price_minor", "hours"}
    assert "Own sales are too few to tell this. Type what it should sell for." in words_of(page)


@pytest.mark.parametrize(
    ("sales", "said"),
    [
        ([], "None sold yet: the price is your own guess."),
        ([30000], "Sold for £300.00, once: too few to tell a spread."),
        ([30000, 34000], "Two sold, for £300.00 and £340.00: too few to tell more than the range."),
        (
            [30000, 34000, 50000],
            "3 sold, £300.00 to £500.00, half of them above £340.00; the true middle lies in £300.00 to £500.00,"
            " 75 times in 100.",
        ),
    ],
)
def test_few_sales_are_called_few(client_in, ours, sales, said):
    notes = ModelNotesFactory()
    for sold_minor in sales:
        past_job(notes, sold_minor=sold_minor)

    page = client_in.post(PAGE, pressed(notes, price_minor="330", hours="2"))

    assert page.status_code == 200
    assert said in words_of(page)


@pytest.mark.parametrize(
    ("own", "kind", "said"),
    [
        ([], [], "No job has ended yet: the time is your own guess."),
        ([], [90, 100], "None of this model yet; 2 past jobs of its kind, 1 h 30 min and 1 h 40 min: too few to tell"),
        ([120], [], "One job of this model, 2 h: too few to tell a spread."),
        (
            [120, 120],
            [150, 160, 170, 180, 190],
            "Two jobs of this model, 2 h and 2 h; reckoned 2 h 30 min, leaning on 5 other machines of its kind.",
        ),
        (
            [154, 158, 163, 168, 171, 175, 178, 182],
            [60, 70, 80],
            "8 past jobs of this model: half of them took up to 2 h 50 min, 8 in 10 up to 2 h 58 min.",
        ),
    ],
)
def test_the_work_of_this_model_is_told_as_it_was(client_in, ours, own, kind, said):
    notes, other = ModelNotesFactory(), ModelNotesFactory()
    for of, jobs in ((notes, own), (other, kind)):
        for minutes in jobs:
            past_job(of, minutes=minutes)

    page = client_in.post(PAGE, pressed(notes, look="1"))

    assert said in words_of(page).replace("\xa0", " ")


def test_two_sales_fill_in_their_middle_and_say_so_and_parts_of_other_models_bring_nothing_here(client_in, ours):
    notes, other = ModelNotesFactory(), ModelNotesFactory()
    for sold_minor in (30000, 30100):
        past_job(notes, sold_minor=sold_minor)
    past_job(other, sold_minor=26000)
    past_job(other, sold_minor=9000, closed_as="SOLD_UNTESTED")

    page = client_in.post(PAGE, pressed(notes, look="1"))

    assert (boxes(page)["price_minor"], boxes(page)["salvage_minor"]) == ("300.50", "")
    assert "Two sold, for £300.00 and £301.00: too few to tell more than the range." in words_of(page)
    assert "0 of 2 past jobs of this model: reckoned 16 in 100, leaning on 2 other machines of its kind" in words_of(
        page
    )


def test_a_kept_answer_says_nothing_by_other_rates(client_in, heron, ours):
    client_in.post(PAGE, pressed(heron, keep="1", key="k", profit_minor="60"))
    ours.hourly_rate_minor = 100
    ours.save()

    kept = words_of(client_in.get(f"/most-to-pay/{Sighting.objects.get().pk}/"))

    assert "The most to pay £195.06" in kept
    assert "If the work takes" not in kept


@pytest.mark.parametrize(
    ("jobs", "said"),
    [
        (1, "1 past job of this model. Under 30, a share is a hint and no rate."),
        (30, "30 past jobs of this model."),
    ],
)
def test_under_thirty_jobs_a_share_is_no_rate(client_in, ours, jobs, said):
    notes = ModelNotesFactory()
    for _ in range(jobs):
        past_job(notes, sold_minor=30000)

    told = client_in.post(PAGE, pressed(notes, look="1")).context["told"]

    assert told.worth == said


def test_what_was_typed_stays_when_another_model_is_chosen_and_what_was_filled_in_goes(client_in, heron):
    first = client_in.post(PAGE, pressed(heron, look="1"))
    filled = {name: value or "" for name, value in boxes(first).items()}
    other = ModelNotesFactory(kind="LEVER", usual_minutes=90)
    data = {**filled, "notes": str(other.pk), "filled_for": str(heron.pk), "price_minor": "280"}

    page = client_in.post(PAGE, data)

    told = boxes(page)
    assert (told["price_minor"], told["hours"], told["minutes"], told["parts_minor"]) == ("280", "1", "30", "")
    assert told["not_mended_percent"] == "10"


def test_looking_fills_the_boxes_without_naming_faults(client_in, heron):
    page = client_in.post(PAGE, pressed(heron, look="1", said="A drip at the group."))

    assert (page.status_code, page.context["answer"]) == (200, None)
    assert not page.context["form"].errors
    assert boxes(page)["price_minor"] == "400.00"
    assert "A drip at the group." in page.content.decode()


def test_minutes_alone_mean_less_than_an_hour(client_in, heron):
    page = client_in.post(PAGE, pressed(heron, minutes="45"))

    assert "Work, 45 min" in words_of(page).replace("\xa0", " ")


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("price_minor", "12.5.5", "This has two decimal points. Type one, like 85.00."),
        ("not_mended_percent", "101", "This is over 100. Check the figure."),
        ("hours", "-1", "This is under 0. Check the figure."),
        ("notes", "999999", "Select a valid choice. 999999 is not one of the available choices."),
        ("notes", "", "Say what it is: choose a model, or another one and name it."),
    ],
)
def test_a_wrong_answer_is_told_beside_its_box_and_kept(client_in, heron, name, value, said):
    page = client_in.post(PAGE, pressed(heron) | {name: value, "said": "Green at the seams."})

    assert page.status_code == 422
    assert page.context["form"].errors[name] == [said]
    assert "Green at the seams." in page.content.decode()


def test_another_model_wants_its_name(client_in, ours):
    data = {"notes": "ANOTHER", "price_minor": "300", "hours": "2", "profit_minor": "60", "not_mended_percent": "10"}
    page = client_in.post(PAGE, data)

    assert set(page.context["form"].errors) == {"maker", "model", "kind"}

    for chosen in ("ANOTHER", ""):  # who typed a maker and chose nothing meant another model
        page = client_in.post(PAGE, {**data, "notes": chosen, "maker": "Hollin", "model": "Dunlin", "kind": "LEVER"})
        assert (page.status_code, page.context["answer"].bid[0]) == (200, "£")


@pytest.mark.parametrize("name", ["pricing:most_to_pay", "intake:machine_log"])
def test_another_models_name_is_never_called_optional(client_in, ours, name):
    page = words_of(client_in.get(reverse(name)))

    assert not any(f"{label} (optional)" in page for label in ("Maker", "Model", "Kind"))


def test_kept_opened_worked_out_again_and_bought(client_in, heron):
    kept = client_in.post(PAGE, pressed(heron, keep="1", key="k", profit_minor="60", asked_minor="250"), follow=True)

    row = Sighting.objects.get()
    assert kept.redirect_chain == [(f"/most-to-pay/{row.pk}/", 302)]
    assert "They ask £250.00: £54.94 too much." in words_of(kept)

    shown = kept.context["form"]
    again = {name: shown[name].value() for name in shown.fields if shown[name].value() is not None}
    again |= {"asked_minor": "150", "salvage_minor": "", "key": "l"}
    changed = client_in.post(f"/most-to-pay/{row.pk}/", again, follow=True)
    assert "They ask £150.00: that leaves £45.06 to spare." in words_of(changed)
    assert changed.context["buy_form"]["price_minor"].value() == "150.00"

    buying = {"version": "2", "key": "m", "price_minor": "140", "place": "Shelf A"}
    for _ in range(2):
        bought = client_in.post(reverse("pricing:sighting_buy", args=[row.pk]), buying, follow=True)
    machine = Machine.objects.get(place__name="Shelf A")
    assert bought.redirect_chain == [(machine.get_absolute_url(), 302)]
    assert f"{machine} is logged. Press Tag and stick it on now." in words_of(bought)
    assert reverse("intake:machine_tag", args=[machine.slug]) in bought.content.decode()
    assert f"bought: {machine}" in words_of(client_in.get(PAGE))


def test_buying_wants_a_place_and_dropping_a_reason(client_in, ours):
    row = SightingFactory()
    for name, data, field in (("sighting_buy", {"price_minor": "90"}, "place"), ("sighting_drop", {}, "because")):
        page = client_in.post(reverse(f"pricing:{name}", args=[row.pk]), data)
        assert (page.status_code, list(page.context["pressed"].errors)) == (422, [field])

    dropped = client_in.post(
        reverse("pricing:sighting_drop", args=[row.pk]), {"version": "1", "because": "They want more."}, follow=True
    )
    assert "Not bought: They want more." in words_of(dropped)
    assert "Take it up again" in words_of(dropped)
    taken = client_in.post(reverse("pricing:sighting_take_up", args=[row.pk]), {}, follow=True)
    assert "It is bought: log it" in words_of(taken)


def test_a_stale_page_shows_what_the_row_says_now(client_in, ours):
    row = SightingFactory(version=3)

    page = client_in.post(reverse("pricing:sighting_drop", args=[row.pk]), {"version": "1", "because": "Too dear."})

    assert page.status_code == 409
    assert page.context["drop_form"]["version"].value() == "3"
    assert "Too dear." in page.content.decode()


def test_a_technician_is_refused_and_sees_no_way_there(technician_in):
    row = SightingFactory()
    for address in (PAGE, f"{PAGE}{row.pk}/"):
        assert technician_in.get(address).status_code == 403
        assert technician_in.post(address).status_code == 403
    for name in ("sighting_buy", "sighting_drop", "sighting_take_up"):
        assert technician_in.post(reverse(f"pricing:{name}", args=[row.pk])).status_code == 403
    assert PAGE not in technician_in.get("/").content.decode()


def test_this_morning_leads_there(client_in):
    assert f'href="{PAGE}"' in client_in.get("/").content.decode()


def test_an_empty_list_says_what_to_do(client_in):
    assert "No machine waits for your answer. Work one out above and keep it." in words_of(client_in.get(PAGE))


def test_the_list_asks_equally_often_for_one_machine_and_for_thirty(client_in):
    SightingFactory()
    client_in.get(PAGE)
    with CaptureQueriesContext(connection) as one:
        client_in.get(PAGE)
    SightingFactory.create_batch(29)

    with CaptureQueriesContext(connection) as thirty:
        page = client_in.get(PAGE)

    assert (len(page.context["open_ones"]), len(thirty)) == (30, len(one))


def test_a_price_above_the_most_to_pay_is_asked_about_once_and_then_bought(client_in, ours):
    row = SightingFactory(bid_minor=7907)
    address = reverse("pricing:sighting_buy", args=[row.pk])
    asked = client_in.post(address, {"version": row.version, "key": "d", "price_minor": "95", "place": "Shelf A"})
    again = {box.name: box.value() for box in asked.context["buy_form"]}  # as the browser sends the page back

    bought = client_in.post(address, again)

    assert asked.status_code == 422
    assert "Buy it all the same? Press again." in words_of(asked)
    assert bought.status_code == 302
    assert Machine.objects.get().jobs.get().purchase.price_minor == 9500


def test_a_price_above_the_most_and_a_taken_spot_are_two_questions(client_in, ours):
    row = SightingFactory(bid_minor=7907)
    shelf = Place.objects.create(name="Shelf A", holds_several=False)
    JobFactory(machine__place=shelf, machine__stock_number=900)
    address = reverse("pricing:sighting_buy", args=[row.pk])
    sent = {"version": row.version, "key": "d", "price_minor": "95", "place": "Shelf A"}

    for _ in range(2):
        asked = client_in.post(address, sent)
        assert asked.status_code == 422
        sent = {box.name: box.value() for box in asked.context["buy_form"]}

    assert client_in.post(address, sent).status_code == 302


def test_sales_of_an_old_book_fill_in_price_and_parts_and_say_from_how_many(client_in, ours):
    notes = ModelNotesFactory()
    for sold_minor in (16000, 18000):
        ExtraCostFactory(job=past_job(notes, sold_minor=sold_minor), words=OLD_PARTS, amount_minor=2400)

    page = client_in.post(PAGE, pressed(notes, look="1"))

    # two of two took parts, on a guess of 1 in 2 as heavy as 3: (2 + 1.5) / 5 of 24.00
    assert (boxes(page)["price_minor"], boxes(page)["parts_minor"]) == ("170.00", "16.80")
    assert "Two sold, for £160.00 and £180.00" in words_of(page)
    assert "From 2 past jobs of this model." in words_of(page)


def test_the_four_numbers_come_first_and_parts_are_folded_until_they_hold_something(client_in, ours):
    html = client_in.get(PAGE).content.decode()
    filled = client_in.post(PAGE, pressed(ModelNotesFactory(), look="1", parts_minor="20")).content.decode()

    places = [html.index(f'name="{name}"') for name in ("price_minor", "hours", "profit_minor", "not_mended_percent")]
    assert places == sorted(places)
    assert places[-1] < html.index("<summary>More") < html.index('name="parts_minor"')
    assert "<details >" in html.partition("<summary>More")[0][-60:]
    assert "<details open>" in filled.partition("<summary>More")[0][-60:]
