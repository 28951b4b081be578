"""Where a mark is: by tapping the drawing, by the lists, by a pin on a photo, or on a loose part."""

import re
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from intake import pages, pages_photos, services
from intake.models import LoosePart, Mark, Photo
from intake.services import NewMark
from intake.undo import UNDO
from tests.factories import JobFactory
from tests.intake import factories
from workshop.core.acts import Refused
from workshop.trade.condition.scoring import Face, MarkKind, Shows

pytestmark = pytest.mark.django_db
FLAW = {"kind": "dent", "size_mm": "7", "shows": "felt"}


def url(name, job, *args):
    return reverse(f"intake:{name}", args=[job.machine.slug, *args])


def hidden(html):
    """Return the mark form's fields as a browser without scripts would send them: hidden ones and the chosen zone."""
    found = dict(re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', html[html.index('id="add"') :]))
    chosen = re.search(r'<option value="([^"]*)" selected>', html[html.index('id="add"') :])
    return {**found, "zone": chosen[1] if chosen else ""}


def whereabouts():
    return list(Mark.objects.order_by("pk").values_list("face", "zone", "kind", "size_mm", "shows"))


def test_tapping_the_drawing_and_choosing_from_the_lists_give_the_same_mark(client_in, job):
    page = client_in.get(url("walk", job) + "?face=left").content.decode()
    tapped = re.search(r'href="([^"#]*zone=low-right)#add" aria-label="Left, low front', page)[1].replace("&amp;", "&")
    client_in.post(url("mark_add", job), {**hidden(client_in.get(tapped).content.decode()), **FLAW, "key": "a"})

    client_in.post(url("mark_add", job), {"face": "left", "zone": "low-right", **FLAW, "key": "b"})

    first, second = whereabouts()
    assert first == second == ("left", "low-right", "dent", Decimal(7), "felt")


# A pin: a photo of 1600 by 1200 drawn 640 px wide is 480 px high.
@pytest.mark.parametrize(
    ("across", "x", "y", "place"),
    [
        ("640", "320", "120", (500, 250)),
        ("640", "639", "479", (998, 998)),
        ("280", "140", "210", (500, 1000)),
        ("280", "1", "0", (4, 0)),
        ("640", "900", "900", (1000, 1000)),
    ],
)
def test_a_press_on_a_photo_becomes_a_place_on_it(client_in, job, across, x, y, place):
    photo = factories.PhotoFactory(job=job, face="left")
    pressed = {"across": across, "spot.x": x, "spot.y": y}

    response = client_in.get(reverse("intake:photo_pin", args=[photo.pk]), pressed)

    expected = f"{url('walk', job)}?face=left&photo={photo.pk}&x={place[0]}&y={place[1]}#add"
    assert response["Location"] == expected


@pytest.mark.parametrize(
    "pressed",
    [
        {"across": "640", "spot.x": "0", "spot.y": "0"},  # the Enter key: a press without a place
        {"across": "641", "spot.x": "3", "spot.y": "3"},
        {"across": "640", "spot.x": "-3", "spot.y": "x"},
        {},
    ],
)
def test_a_press_without_a_place_still_leads_to_the_form_with_the_photo(client_in, job, pressed):
    photo = factories.PhotoFactory(job=job, face="left")

    response = client_in.get(reverse("intake:photo_pin", args=[photo.pk]), pressed)

    assert response["Location"] == f"{url('walk', job)}?face=left&photo={photo.pk}#add"
    assert "The mark will show this photo." in client_in.get(response["Location"]).content.decode()


def test_a_pin_is_kept_with_its_mark_and_drawn_on_its_photo(client_in, job):
    photo = factories.PhotoFactory(job=job, face="left")
    page = client_in.get(url("walk", job) + f"?face=left&photo={photo.pk}&x=500&y=250").content.decode()
    assert "The mark is pinned on this photo." in page

    client_in.post(url("mark_add", job), {**hidden(page), **FLAW, "key": "a"})

    mark = Mark.objects.get()
    assert (mark.photo, mark.pin_x_permille, mark.pin_y_permille, mark.face) == (photo, 500, 250, "left")
    html = client_in.get(reverse("intake:photo_one", args=[photo.pk])).content.decode()
    assert '<circle class="pin-ring" cx="800" cy="300"' in html
    assert f"Left, photo {photo.number}: how it arrived. Pins: 1" in html
    assert Photo.objects.count() == 1


def test_a_face_chosen_after_the_press_keeps_the_pin(client_in, job):
    photo = factories.PhotoFactory(job=job)

    page = client_in.get(url("walk", job) + f"?photo={photo.pk}&x=5&y=6").content.decode()

    assert f'href="{url("walk", job)}?face=top&amp;photo={photo.pk}&amp;x=5&amp;y=6#add"' in page


@pytest.mark.parametrize(
    "query", ["photo=999999", "photo=x", "photo=99999999999999", "part=0", "x=5&y=1001", "part=%00"]
)
def test_an_address_made_by_hand_opens_the_page(client_in, job, query):
    assert client_in.get(f"{url('walk', job)}?{query}").status_code == 200


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"pin_x_permille": "5"}, "__all__"),
        ({"pin_x_permille": "1001", "pin_y_permille": "5"}, "pin_x_permille"),
        ({"pinned_on": "999999"}, "pinned_on"),
        ({"loose_part": "999999", "face": ""}, "loose_part"),
        ({"face": ""}, "face"),
    ],
)
def test_half_a_pin_or_a_strange_row_is_refused_and_nothing_is_stored(client_in, job, sent, field):
    response = client_in.post(url("mark_add", job), {"face": "left", **FLAW, "key": "a", **sent})

    assert (response.status_code, field in response.context["form"].errors) == (422, True)
    assert Mark.objects.count() == 0


def test_a_photo_that_was_taken_back_takes_no_pin(act, job):
    photo = factories.PhotoFactory(job=job)
    services.take_photo_back(act(), photo)
    new = NewMark(
        face=Face.TOP,
        kind=MarkKind.DENT,
        size_mm=Decimal(5),
        shows=Shows.FELT,
        pinned_on=photo,
        pin_permille=(1, 1),
    )

    with pytest.raises(Refused, match="taken back"):
        services.add_mark(act(), job, new)


# Loose parts


@pytest.fixture
def basket(job):
    return factories.LoosePartFactory(job=job, words="Double basket", basket_mm=Decimal("58.0"), walls="ONE")


def test_a_mark_on_a_loose_part_is_told_scored_and_printed_by_its_name(client_in, job, basket):
    page = client_in.get(url("walk", job) + f"?part={basket.pk}").content.decode()
    assert "Add a mark on Double basket" in page

    client_in.post(url("mark_add", job), {**hidden(page), "kind": "scratch", "size_mm": "100", "shows": "close_up"})

    mark = Mark.objects.get()
    assert (mark.face, mark.zone, mark.loose_part) == ("", "", basket)
    words = "Double basket: scratch 100\u00a0mm, seen only close up"
    assert [row.words for row in pages.marks_for_sheet(job)] == [words]
    assert pages.score_now(job).value == Decimal("9.7")  # rule 2: 100 x 0.015 x 0.2 = 0.3 off
    for address in (url("walk", job), job.machine.get_absolute_url(), url("photos_compare", job)):
        assert words in client_in.get(address).content.decode()


def test_on_a_walk_under_rule_1_a_loose_part_costs_nothing(job, basket):
    walk = factories.WalkFactory(job=job, rule_version=1)
    factories.MarkFactory(walk=walk, face="", loose_part=basket, size_mm=Decimal(400))

    assert pages.score_now(job).value == Decimal("10.0")
    factories.WalkFactory(job=job, kind="SOLD", rule_version=2)
    assert (pages.score_now(job).value, pages.score_on_arrival(job).value) == (Decimal("8.8"), Decimal("10.0"))


def test_a_part_of_another_machine_is_refused(act, job):
    other = factories.LoosePartFactory(job=JobFactory())
    new = NewMark(loose_part=other, kind=MarkKind.DENT, size_mm=Decimal(5), shows=Shows.FELT)

    with pytest.raises(Refused, match="another machine"):
        services.add_mark(act(), job, new)


def test_a_basket_says_its_width_and_walls(client_in, job):
    sent = {"words": "Double basket", "counted": "1", "basket_mm": "58,5 mm", "walls": "TWO", "key": "a"}
    client_in.post(url("loose_part_add", job), sent)

    part = LoosePart.objects.get()
    assert (part.basket_mm, part.walls) == (Decimal("58.5"), "TWO")
    assert "Double basket, 58.5\u00a0mm, two walls" in client_in.get(url("intake", job)).content.decode()
    edit = client_in.get(url("loose_part_edit", job, part.pk)).content.decode()
    assert ('value="58.5"' in edit, '<option value="TWO" selected>' in edit) == (True, True)


@pytest.mark.parametrize("width", ["39", "71", "x"])
def test_a_width_that_no_basket_has_is_said_beside_it(client_in, job, width):
    sent = {"words": "Basket", "counted": "1", "basket_mm": width, "key": "a"}

    response = client_in.post(url("loose_part_add", job), sent)

    assert (response.status_code, list(response.context["form"].errors)) == (422, ["basket_mm"])


def test_a_loose_part_with_a_mark_is_not_dropped(act, job):
    entry = services.add_loose_part(act(), job, "Tank", 1)
    factories.MarkFactory(walk__job=job, face="", loose_part=LoosePart.objects.get())

    with pytest.raises(Refused, match="rest on this"):
        UNDO[entry.verb](act(), entry)


# What the database refuses, whoever writes


def refused(match, **columns):
    with pytest.raises(IntegrityError, match=match), transaction.atomic():
        factories.MarkFactory(**columns)


def test_a_mark_is_on_a_face_or_on_a_loose_part(basket):
    name = "intake_mark_on_a_face_or_a_loose_part"
    refused(name, face="")
    refused(name, loose_part=basket)
    refused(name, face="", zone="middle", loose_part=basket)


def test_a_pin_is_whole_and_on_its_own_photo(job):
    name, photo = "intake_mark_pin_on_its_photo", factories.PhotoFactory(job=job)
    refused(name, pin_x_permille=5, pin_y_permille=5)
    refused(name, pin_x_permille=5, photo=photo)
    refused(name, pin_y_permille=5, photo=photo)
    refused(name, pin_x_permille=5, pin_y_permille=1001, photo=photo)


def test_only_a_blind_walk_is_finished_by_a_press(job):
    with pytest.raises(IntegrityError, match="intake_walk_finished_when_blind"), transaction.atomic():
        factories.WalkFactory(job=job, finished_at=factories.NOON)


@pytest.mark.parametrize(("column", "value"), [("walls", "THREE"), ("basket_mm", Decimal(0))])
def test_a_basket_is_held_to_its_words(column, value):
    with pytest.raises(IntegrityError, match=f"intake_loosepart_{column}"), transaction.atomic():
        factories.LoosePartFactory(**{column: value})


# Query counts


@pytest.mark.parametrize("view", ["walk", "photos_compare"])
def test_thirty_marks_cost_as_many_queries_as_one(client_in, job, basket, view, django_assert_max_num_queries):
    walk, counts = factories.WalkFactory(job=job), []
    for number in (1, 29):
        for _ in range(number):
            photo = factories.PhotoFactory(job=job, face="front")
            pin = {"photo": photo, "pin_x_permille": 10, "pin_y_permille": 10}
            factories.MarkFactory(walk=walk, **pin)
            factories.MarkFactory(walk=walk, face="", loose_part=basket)
            factories.LoosePartFactory(job=job)
        with django_assert_max_num_queries(200) as asked:
            client_in.get(url(view, job))
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_thirty_pins_on_a_photo_cost_as_many_queries_as_one(client_in, job, django_assert_max_num_queries):
    photo, counts = factories.PhotoFactory(job=job), []
    for number in (1, 29):
        factories.MarkFactory.create_batch(
            number,
            walk=job.walks.first() or factories.WalkFactory(job=job),
            photo=photo,
            pin_x_permille=1,
            pin_y_permille=1,
        )
        with django_assert_max_num_queries(200) as asked:
            client_in.get(reverse("intake:photo_one", args=[photo.pk]))
        counts.append(len(asked))
    assert counts[0] == counts[1]
    assert len(pages_photos.pinned(photo, pages.marks(job)).pins) == 30
