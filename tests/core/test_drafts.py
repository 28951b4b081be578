"""Drafts: one's own typing, kept while it is on its way and gone once it is sent, dropped or old."""

import json
from datetime import timedelta

import pytest
from django.contrib.auth import get_user_model
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from intake.forms.seller import SellerRecordForm
from tests.conftest import NOON
from workshop.core import services
from workshop.core.forms.drafts import MOST_BYTES
from workshop.core.models import Draft, JournalEntry, Place, User
from workshop.trade.safety.records import Ask

PAGE = "/places/?all=1"
FORM = "/places/add/"
DOOR = "/drafts/"


def typed(fields, page=PAGE, form=FORM):
    return {"page": page, "form": form, "typed": json.dumps(fields)}


def offered(client, page=PAGE):
    return client.get(DOOR, {"page": page}).json()["drafts"]


# The services


def test_a_form_has_one_draft_and_the_last_typing_stands(owner):
    for words in ("drips", "drips from the group"):
        services.save_draft(owner, PAGE, FORM, {"words": [words]}, at=NOON)

    assert Draft.objects.get().fields == {"words": ["drips from the group"]}
    assert JournalEntry.objects.count() == 0


def test_a_draft_is_read_for_14_days_and_swept_when_another_is_kept(owner, technician):
    services.save_draft(technician, PAGE, FORM, {"words": ["old"]}, at=NOON)
    young, old = NOON + timedelta(days=14, seconds=-1), NOON + timedelta(days=14)

    assert services.drafts_of(technician, PAGE, at=young).count() == 1
    assert services.drafts_of(technician, PAGE, at=old).count() == 0

    services.save_draft(owner, PAGE, FORM, {"words": ["new"]}, at=young)
    assert Draft.objects.count() == 2
    services.save_draft(owner, PAGE, FORM, {"words": ["new"]}, at=old)
    assert Draft.objects.get().user == owner


def test_dropping_a_draft_leaves_the_other_forms_of_the_page(owner):
    for form in (FORM, f"{FORM}#2"):
        services.save_draft(owner, PAGE, form, {"words": ["x"]}, at=NOON)

    services.drop_draft(owner, PAGE, FORM)

    assert Draft.objects.get().form == f"{FORM}#2"


def test_a_person_who_goes_takes_their_drafts_along(technician):
    services.save_draft(technician, PAGE, FORM, {"words": ["x"]}, at=NOON)

    get_user_model().objects.filter(pk=technician.pk).delete()

    assert Draft.objects.count() == 0


# The address


def test_typing_is_kept_and_read_again_by_its_own_writer_only(client_in, technician_in):
    kept = client_in.post(DOOR, typed({"name": ["Shelf 3"], "ticks": ["a", "b"], "none": []}))

    assert (kept.status_code, kept.content) == (204, b"")
    [mine] = offered(client_in)
    assert (mine["form"], mine["fields"]) == (FORM, {"name": ["Shelf 3"], "ticks": ["a", "b"], "none": []})
    assert offered(technician_in) == []
    assert offered(client_in, "/places/") == []


def test_nothing_typed_drops_the_draft_but_nobody_elses(client_in, technician_in):
    for client in (client_in, technician_in):
        client.post(DOOR, typed({"name": ["Shelf 3"]}))

    client_in.post(DOOR, typed({}))

    assert offered(client_in) == []
    assert len(offered(technician_in)) == 1


def test_a_stranger_is_turned_away_and_nothing_is_parked_for_after_sign_in(shop, owner):
    stranger = Client()

    assert stranger.post(DOOR, typed({"name": ["Shelf 3"]})).status_code == 403
    assert stranger.get(DOOR, {"page": PAGE}).status_code == 403
    assert Draft.objects.count() == 0
    assert "kept_typing" not in stranger.session


def test_a_draft_wants_the_token_of_its_page(owner, shop):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(owner)

    assert strict.post(DOOR, typed({"name": ["Shelf 3"]})).status_code == 403
    assert Draft.objects.count() == 0


def test_passwords_and_the_forms_own_machinery_are_not_kept(client_in):
    machinery = ["csrfmiddlewaretoken", "key", "notes-version", "seen", "sure", "password", "draft"]

    client_in.post(DOOR, typed({"name": ["Shelf 3"]} | {name: ["x"] for name in machinery}))

    assert offered(client_in)[0]["fields"] == {"name": ["Shelf 3"]}


def test_twenty_kilobytes_are_kept_and_one_byte_more_is_not(client_in):
    frame = len(json.dumps({"words": [""]}))

    fits = client_in.post(DOOR, typed({"words": ["x" * (MOST_BYTES - frame)]}))
    over = client_in.post(DOOR, typed({"words": ["y" * (MOST_BYTES - frame + 1)]}))

    assert (fits.status_code, over.status_code) == (204, 422)
    assert offered(client_in)[0]["fields"]["words"][0].startswith("x")


@pytest.mark.parametrize(
    "raw",
    ["", "{", "[]", "null", "7", '"x"', '{"a": "x"}', '{"a": [1]}', '{"a": [null]}', '{"a": [["x"]]}', '{"a": {}}',
     "[" * 19_000, '{"a":' * 3_000, "9" * 19_000, '{"a": ["\\u0000"]}', '{"\\u0000": ["x"]}', '{"a": ["\\ud800"]}',
     "NaN", "\x00", '{"a": ["x"]}\x00'],
)  # fmt: skip
def test_what_is_not_typing_is_refused(client_in, raw):
    refused = client_in.post(DOOR, {"page": PAGE, "form": FORM, "typed": raw})

    assert refused.status_code == 422
    assert Draft.objects.count() == 0


@pytest.mark.parametrize(
    "path", ["", " ", "places", "/a b", "/a\n", "/\x00", "https://elsewhere.example/", "/" + "x" * 500]
)
def test_an_address_that_is_none_is_refused(client_in, path):
    assert client_in.post(DOOR, typed({"a": ["x"]}, page=path)).status_code == 422
    assert client_in.post(DOOR, typed({"a": ["x"]}, form=path)).status_code == 422
    assert offered(client_in, path) == []
    assert Draft.objects.count() == 0


def test_other_methods_and_a_body_of_json_do_no_harm(client_in):
    assert client_in.delete(DOOR).status_code == 405
    assert client_in.post(DOOR, typed({"a": ["x"]}), content_type="application/json").status_code == 422


# Sent


@pytest.fixture
def two_drafts(client_in, owner):
    for form in (FORM, f"{FORM}#2"):
        services.save_draft(owner, PAGE, form, {"name": ["Shelf 3"]}, at=timezone.now())
    return client_in


def test_a_form_that_is_taken_takes_its_draft_along(two_drafts):
    taken = two_drafts.post(reverse("place_add"), {"name": "Shelf 3", "draft": f"{PAGE} {FORM}"})

    assert taken.status_code == 302
    assert Place.objects.filter(name="Shelf 3").exists()
    assert [row["form"] for row in offered(two_drafts)] == [f"{FORM}#2"]


@pytest.mark.parametrize("named", ["", "x", f"{PAGE} ", f"{PAGE} /elsewhere/", "\x00 \x00", " ", f" {FORM}"])
def test_a_press_that_names_no_draft_of_its_own_drops_none(two_drafts, named):
    two_drafts.post(reverse("place_add"), {"name": "Shelf 3", "draft": named})

    assert len(offered(two_drafts)) == 2


def test_a_form_that_is_refused_keeps_its_draft(two_drafts):
    refused = two_drafts.post(reverse("place_add"), {"name": "", "draft": f"{PAGE} {FORM}"})

    assert refused.status_code == 422
    assert "data-posted" in refused.content.decode()
    assert len(offered(two_drafts)) == 2


def test_a_press_after_the_session_ended_keeps_the_draft_until_it_is_sent_again(two_drafts):
    two_drafts.logout()
    two_drafts.post(reverse("place_add"), {"name": "Shelf 3", "draft": f"{PAGE} {FORM}"})

    assert Draft.objects.count() == 2
    two_drafts.force_login(User.objects.get(username="ana"))
    assert "data-posted" not in two_drafts.get(reverse("places")).content.decode()


# Fields too private to be kept


def test_the_sellers_whole_number_and_birthday_are_marked_as_not_to_be_kept(owner):
    form = SellerRecordForm(asks=set(Ask), is_taxed=True, people=User.objects.all())

    marked = {name for name, field in form.fields.items() if "data-no-draft" in field.widget.attrs}

    assert marked == {"id_number", "born_on"}
    assert "data-no-draft" in str(form["id_number"])
    assert "data-no-draft" not in str(form["signed_on"])
