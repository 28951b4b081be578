"""The door: first owner, sign in, sign out, and typing that is never lost."""

import pytest
from django.test import Client
from django.urls import reverse

from tests.factories import ShopFactory, UserFactory
from workshop.core.models import Shop, User

PASSWORD = "a long bench word"


def sign_in(client, **extra):
    return client.post(reverse("sign_in"), {"username": "ana", "password": PASSWORD, **extra})


@pytest.mark.django_db
def test_health_answers_strangers():
    assert Client().get(reverse("health")).json() == {"status": "ok"}


@pytest.mark.django_db
def test_an_empty_house_leads_to_the_first_run_page_and_then_closes_it():
    client = Client()
    assert client.get("/").url == reverse("first_run")

    made = client.post(reverse("first_run"), {"username": "ana", "first_name": "Ana", "password": PASSWORD})

    assert made.url == reverse("core:shop_edit")
    assert User.objects.get().role == "OWNER"
    assert Client().get(reverse("first_run")).url == reverse("sign_in")


def test_an_owner_without_a_workshop_is_led_to_set_it_up(owner, client):
    client.force_login(owner)

    assert client.get("/machines/log/").url == reverse("core:shop_edit")


def test_a_wrong_password_is_a_sentence_and_422(owner, client):
    refused = client.post(reverse("sign_in"), {"username": "ana", "password": "no"})

    assert refused.status_code == 422
    assert "Name and password do not match" in refused.content.decode()


def test_sign_in_never_leads_to_another_site(owner, client):
    ShopFactory()
    assert sign_in(client, next="https://elsewhere.example/").url == reverse("home")


@pytest.mark.django_db
def test_typing_that_met_an_expired_session_is_offered_after_sign_in():
    UserFactory(username="ana", role="OWNER")
    shop = ShopFactory()
    client = Client()
    typed = {"name": "The Old Tram Shed", "version": shop.version, "key": "k9", "password": "secret"}

    dropped = client.post(reverse("core:shop_edit"), typed)
    signed_in = sign_in(client)
    offered = client.get(signed_in.url).content.decode()

    assert dropped.url.startswith(reverse("sign_in"))
    assert signed_in.url == reverse("core:kept_typing")
    assert 'value="The Old Tram Shed"' in offered
    assert "secret" not in offered
    assert Shop.objects.get().name == shop.name


def test_a_page_too_old_keeps_what_was_typed_and_stores_nothing(owner, shop):
    client = Client(enforce_csrf_checks=True)
    client.force_login(owner)

    refused = client.post(reverse("core:shop_edit"), {"name": "The Old Tram Shed"})

    assert refused.status_code == 403
    assert 'value="The Old Tram Shed"' in refused.content.decode()
    assert Shop.objects.get().name == "The Tram Shed"
