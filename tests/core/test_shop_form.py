"""Our workshop's form: the days after which recall registers are asked again."""

import pytest
from django.urls import reverse

from workshop.core.forms.shop import ShopForm
from workshop.core.models import Shop


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
    client_in.post(reverse("core:shop_edit"), typed(shop, country=place))

    assert Shop.objects.get().country == place
