"""Our workshop's form: the days after which recall registers are asked again."""

from decimal import Decimal

import pytest
from django.urls import reverse

from workshop.core.forms.shop import ShopForm
from workshop.core.models import Instrument, Shop


def typed(shop, **more):
    shown = {name: "" if value is None else value for name, value in ShopForm.initial_of(shop).items()}
    return {**shown, "version": shop.version, "key": "k1", **more}


@pytest.mark.parametrize(("days", "kept"), [("7", 7), ("", 30)])
def test_the_days_of_a_recall_look_are_the_workshops_own_and_thirty_when_left_empty(client_in, shop, days, kept):
    response = client_in.post(reverse("core:shop_edit"), typed(shop, recall_again_days=days))

    assert (response.status_code, Shop.objects.get().recall_again_days) == (302, kept)


@pytest.mark.parametrize("days", ["0", "-1", "soon", "9999"])
def test_days_out_of_reason_are_said_beside_the_box(client_in, shop, days):
    response = client_in.post(reverse("core:shop_edit"), typed(shop, recall_again_days=days))

    assert (response.status_code, list(response.context["form"].errors)) == (422, ["recall_again_days"])
    assert Shop.objects.get().recall_again_days == 30


@pytest.mark.parametrize("place", ["AU-NT", "AU-ACT", "US-FL"])
def test_a_place_whose_record_rule_was_read_can_be_chosen(client_in, shop, place):
    client_in.post(reverse("core:shop_edit"), typed(shop, country=place, profile="", tax_rule="NONE"))

    assert Shop.objects.get().country == place


def test_a_new_place_asks_about_what_was_chosen_for_the_old_one(client_in, shop):
    Shop.objects.update(tax_rule="UK_MARGIN")
    shop.refresh_from_db()

    asked = client_in.post(reverse("core:shop_edit"), typed(shop, country="AU-NSW"))
    page = asked.content.decode()
    assert asked.status_code == 422
    assert "The place changes, but this was chosen for the old one: United Kingdom, IET" in page
    assert Shop.objects.get().country == "GB"

    client_in.post(reverse("core:shop_edit"), typed(shop, country="AU-NSW", sure="place AU-NSW"))
    assert Shop.objects.get().country == "AU-NSW"


def test_an_old_tab_says_what_stands_now_in_the_words_of_the_page(client_in, shop):
    old = typed(shop, hourly_rate_minor="30", warranty_months="6")
    Shop.objects.update(hourly_rate_minor=2400, warranty_months=12, paper="LETTER", version=shop.version + 1)

    stale = client_in.post(reverse("core:shop_edit"), old)

    now = stale.context["form"].stale
    assert stale.status_code == 409
    assert (now["An hour at the bench"], now["Paper"]) == ("£24.00", "Letter")
    assert "hourly_rate_minor" not in now


# --- instruments that show pass or fail ----------------------------------------------------------------------

ADD = {"instrument-kind": "EARTH", "instrument-name": "Green tester", "instrument-pass_fail_only": "on"}


def test_a_pass_fail_tester_keeps_what_it_is_set_to(client_in):
    response = client_in.post(reverse("core:instrument_add"), ADD | {"instrument-set_limit": "0,2"})

    assert (response.status_code, Instrument.objects.get().set_limit) == (302, Decimal("0.2"))
    page = client_in.get(reverse("core:shop_edit")).content.decode().replace("\u00a0", " ")
    assert "pass or fail at 0.2 ohm" in page


@pytest.mark.parametrize(
    ("typed_in", "field"),
    [
        (ADD, "set_limit"),  # a tester that is set to nothing
        ({**ADD, "instrument-pass_fail_only": "", "instrument-set_limit": "0.2"}, "set_limit"),  # a meter with a limit
        ({**ADD, "instrument-kind": "SCALE", "instrument-set_limit": "0.2"}, "pass_fail_only"),
    ],
)
def test_a_set_limit_belongs_to_a_pass_fail_tester_alone(client_in, typed_in, field):
    response = client_in.post(reverse("core:instrument_add"), typed_in)

    assert (response.status_code, list(response.context["instrument_form"].errors)) == (422, [field])
    assert not Instrument.objects.exists()


@pytest.mark.parametrize(("words", "minor"), [("", None), ("450", 45000), ("0", 0)])
def test_the_figure_for_the_full_set_may_be_left_empty_for_never(client_in, shop, words, minor):
    client_in.post(reverse("core:shop_edit"), typed(shop, full_set_from_minor=words))

    assert Shop.objects.get().full_set_from_minor == minor


def test_the_pages_of_our_workshop_are_linked_on_top_and_its_boxes_stand_under_headings(client_in, shop):
    page = client_in.get(reverse("core:shop_edit"))
    html = page.content.decode()

    top = html[: html.index('name="name"')]
    for name in ("limits", "places", "card_lists", "core:model_notes", "past"):
        assert f'href="{reverse(name)}"' in top
    assert [title for title, _ in page.context["form"].groups] == [
        *("The workshop", "Money and tax", "Paper and tags", "Warranty and recalls", "Your water")
    ]
    boxes = [box.name for _, group in page.context["form"].groups for box in group]
    assert boxes == [box.name for box in page.context["form"].visible_fields()]


def test_a_box_with_a_unit_is_read_out_as_people_say_it(client_in, shop):
    html = client_in.get(reverse("core:shop_edit")).content.decode()

    assert '<span class="label-unit hidden">in £</span>' in html
    most = client_in.get(reverse("pricing:most_to_pay")).content.decode()
    assert '<span class="label-unit hidden">in 100</span>' in most
