"""Photos as evidence: sent one by one, only added to once Intake is signed off, seen one by one and side by side."""

from datetime import UTC, datetime

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from intake import pages_photos, photos, services, uploads
from intake.models import Mark, Photo
from intake.photos import Kept
from intake.undo import UNDO
from intake.words import PhotoFor
from tests.factories import JobFactory
from tests.intake import factories, pictures
from workshop.core import services as core_services
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry, Signoff

KEEP = reverse("intake:photo_keep")


def url(name, job, *args):
    return reverse(f"intake:{name}", args=[job.machine.slug, *args])


def upload(name="left.jpg", data=None, **how):
    return SimpleUploadedFile(name, pictures.jpeg(**how) if data is None else data, "image/jpeg")


# One photo sent on its own, as soon as it is chosen


def test_a_photo_sent_on_its_own_is_kept_and_its_token_brings_it_into_the_form(client_in, job):
    answer = client_in.post(KEEP, {"photo": upload()})

    assert (answer.status_code, Photo.objects.count()) == (200, 0)
    kept = answer.json()["kept"]
    assert client_in.get(answer.json()["thumb"])["Content-Type"] == "image/webp"

    client_in.post(url("photo_add", job), {"key": "k", "purpose": "ARRIVAL", "face": "left", "kept": kept})
    row = Photo.objects.get()
    assert (row.face, row.number, row.original_sha) == ("left", 1, pictures.sha(pictures.jpeg()))


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "No photo came along. Choose it again."),
        (b"hello", "This is not a photo we can read. Send JPEG, PNG or WebP."),
        (pictures.png_header(60_000, 60_000), "megapixels are kept: send it smaller."),
        (pictures.jpeg(300, 200)[:600], "Send it again"),
    ],
)
def test_a_file_that_is_not_kept_says_why(client_in, data, sentence):
    sent = {"photo": upload(data=data)} if data else {}

    answer = client_in.post(KEEP, sent)

    assert (answer.status_code, sentence in answer.json()["refused"]) == (422, True)


def test_a_strangers_photo_is_not_kept(shop, owner):
    answer = Client().post(KEEP, {"photo": upload()})

    assert (answer.status_code, answer["Location"].split("?")[0]) == (302, reverse("sign_in"))


def test_without_a_form_of_ours_nothing_is_kept(owner, shop, settings):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(owner)

    assert strict.post(KEEP, {"photo": upload()}).status_code == 403
    assert not (settings.MEDIA_ROOT).exists()


def test_a_photo_sent_ahead_and_again_with_the_form_is_one_photo(client_in, job):
    kept = client_in.post(KEEP, {"photo": upload()}).json()["kept"]

    client_in.post(url("photo_add", job), {"key": "k", "purpose": "OTHER", "kept": kept, "photos": upload()})

    assert Photo.objects.count() == 1


def test_photos_chosen_and_taken_with_the_camera_come_in_one_press(client_in, job):
    sent = {"key": "k", "purpose": "ARRIVAL", "photos": [upload(), upload(width=50)], "camera": upload(width=60)}
    client_in.post(url("photo_add", job), sent)
    mark = {"face": "top", "kind": "dent", "size_mm": "4", "shows": "felt"}
    client_in.post(url("mark_add", job), {**mark, "camera": upload()})

    assert list(Photo.objects.filter(purpose="ARRIVAL").values_list("number", flat=True)) == [1, 2, 3]
    assert Mark.objects.get().photo.purpose == PhotoFor.MARK


@pytest.mark.parametrize("view", ["machine_log", "intake", "walk"])
def test_each_form_with_photos_offers_the_camera_and_knows_where_to_send_them(client_in, job, view):
    address = reverse("intake:machine_log") if view == "machine_log" else url(view, job)

    html = client_in.get(address).content.decode()

    assert f'data-keep-url="{KEEP}"' in html
    assert 'capture="environment"' in html
    assert "js/photos.js" in html


# Evidence


def test_before_the_sign_off_a_photo_taken_back_stays_as_a_row(act, job):
    photo = factories.PhotoFactory(job=job)

    services.take_photo_back(act(), photo)

    assert list(Photo.objects.order_by("pk").values_list("struck", "corrects")) == [(False, None), (True, photo.pk)]


@pytest.mark.parametrize("withdrawn", [False, True])
def test_once_intake_was_signed_off_arrival_photos_are_only_added_to(client_in, act, job, withdrawn):
    factories.finished_intake(job)
    seen = client_in.get(url("intake", job)).context["sign_off_form"]["seen"].value()
    client_in.post(url("intake_sign_off", job), {"key": "s", "seen": seen})
    if withdrawn:
        core_services.withdraw_sign_off(act(), job, "INTAKE")
    arrived = Photo.objects.get(job=job)
    other = factories.PhotoFactory(job=job, purpose="OTHER")

    refused = client_in.post(url("photo_take_back", job, arrived.pk), {"key": "a"})

    assert (refused.status_code, "arrival photos stay as they are" in refused.content.decode()) == (422, True)
    assert url("photo_take_back", job, arrived.pk) not in client_in.get(url("intake", job)).content.decode()
    services.take_photo_back(act(), other)
    sent = {"key": "b", "purpose": "ARRIVAL", "photos": upload()}
    assert client_in.post(url("photo_add", job), sent).status_code == 302


def test_the_undo_of_the_record_does_not_take_evidence_back_either(act, job):
    kept = Kept("a" * 64, "b" * 64, 40, 30)
    entry = services.add_photos(act(), job, [kept], face="", purpose=PhotoFor.ARRIVAL)
    Signoff.objects.create(job=job, station="INTAKE", by=act().by, at=act().at, facts={})

    with pytest.raises(Refused, match="arrival photos stay"):
        UNDO[entry.verb](act(), entry)


# Which face a photo shows


def test_photos_without_a_face_are_given_one_by_new_rows_that_keep_file_times_and_hashes(act, technician, job):
    old = [factories.PhotoFactory(job=job, face="", number=n, sha=f"{n:064x}") for n in (1, 2)]
    left = factories.PhotoFactory(job=job, face="left", number=1, sha="c" * 64)
    mark = factories.MarkFactory(walk__job=job, photo=old[0], pin_x_permille=1, pin_y_permille=2)

    entry = services.give_faces(act(by=technician), job, {old[0].pk: "left", old[1].pk: ""})

    row = Photo.objects.get(corrects=old[0])
    same = ("job", "purpose", "sha", "original_sha", "taken_at", "at", "by", "width_px", "height_px")
    assert [getattr(row, name) for name in same] == [getattr(old[0], name) for name in same]
    assert (row.face, row.number, row.struck, entry.by) == ("left", 2, False, technician)
    assert entry.sentence == "Said which face shows on 1 photo: Left 2"
    mark.refresh_from_db()
    assert (mark.photo, Photo.objects.filter(pk=old[0].pk, face="").exists()) == (row, True)
    assert [photo.pk for photo in pages_photos.standing_photos(job)] == [old[1].pk, left.pk, row.pk]
    with pytest.raises(Refused, match="Choose the face"):
        services.give_faces(act(), job, {row.pk: "left"})
    with pytest.raises(Refused, match="given a face since"):
        services.take_photo_back(act(), old[0])


def test_a_locked_arrival_photo_may_be_given_a_face_and_is_still_not_taken_back(client_in, job):
    factories.finished_intake(job)
    Signoff.objects.create(job=job, station="INTAKE", by=job.photos.get().by, at=job.opened_at, facts={})
    photo = factories.PhotoFactory(job=job, face="", number=7)
    shown = client_in.get(url("intake", job))
    assert photo.pk in shown.context["faces_form"].names
    assert f'name="face_{photo.pk}" form="photo-faces"' in shown.content.decode()

    client_in.post(url("photo_faces", job), {"key": "k", f"face_{photo.pk}": "back"})

    row = Photo.objects.get(corrects=photo)
    assert row.face == "back"
    assert f'name="face_{row.pk}"' not in client_in.get(url("intake", job)).content.decode()
    refused = client_in.post(url("photo_take_back", job, row.pk), {"key": "a"})
    assert (refused.status_code, "arrival photos stay as they are" in refused.content.decode()) == (422, True)


def test_a_wrong_or_no_face_is_said_and_the_page_of_one_photo_comes_up_again(client_in, job):
    photo = factories.PhotoFactory(job=job, face="")

    wrong = client_in.post(url("photo_faces", job), {"key": "k", f"face_{photo.pk}": "inside"})
    none = client_in.post(url("photo_faces", job), {"key": "k", f"face_{photo.pk}": ""})
    done = client_in.post(url("photo_faces", job), {"key": "k", f"face_{photo.pk}": "top", "one": "on"})

    assert (wrong.status_code, list(wrong.context["form"].errors)) == (422, [f"face_{photo.pk}"])
    assert (none.status_code, "Choose the face" in none.content.decode()) == (422, True)
    assert done["Location"] == reverse("intake:photo_one", args=[Photo.objects.get(face="top").pk])
    old = client_in.get(reverse("intake:photo_one", args=[photo.pk]))
    assert "Top, photo 1" in old.content.decode()


def test_photos_sent_at_logging_are_not_guessed(client_in, job):
    photo = factories.PhotoFactory(job=job, face="")

    assert client_in.get(url("intake", job)).context["faces_form"][f"face_{photo.pk}"].value() == ""


def test_a_pin_on_a_photo_without_a_face_asks_for_the_face(client_in, job):
    photo = factories.PhotoFactory(job=job, face="")
    page = client_in.get(f"{reverse('intake:photo_pin', args=[photo.pk])}?across=640&spot.x=9&spot.y=9", follow=True)
    form = page.context["mark_form"]
    assert (form["face"].is_hidden, form["face"].value(), form["zone"].is_hidden) == (False, "", True)
    assert "Add a mark on this photo" in page.content.decode()
    assert [tab.face for tab in page.context["page"].faces if tab.here] == []

    sent = {"key": "k", "pinned_on": photo.pk, "pin_x_permille": "5", "pin_y_permille": "5"}
    sent |= {"kind": "dent", "size_mm": "4", "shows": "felt"}
    refused = client_in.post(url("mark_add", job), {**sent, "face": ""})
    added = client_in.post(url("mark_add", job), {**sent, "face": "left"})

    assert list(refused.context["form"].errors) == ["face"]
    assert refused.context["mark_form"]["face"].is_hidden is False
    assert (added.status_code, Mark.objects.get().face) == (302, "left")


def test_a_pinned_photo_is_compared_under_the_face_of_its_mark(job):
    walk = factories.WalkFactory(job=job)
    loose, close = (factories.PhotoFactory(job=job, face="", number=n, sha=f"{n:064x}", purpose=p)
                    for n, p in ((1, "ARRIVAL"), (2, "OTHER")))  # fmt: skip
    unpinned = factories.PhotoFactory(job=job, face="", number=3, sha="d" * 64)
    for number, (photo, face) in enumerate([(loose, "left"), (close, "top")], start=1):
        pin = {"pin_x_permille": 5, "pin_y_permille": 5}
        factories.MarkFactory(walk=walk, number=number, face=face, photo=photo, **pin)

    pairs = {pair.label: [row.pk for row, _ in pair.arrived.photos] for pair in pages_photos.compare(job)}

    assert pairs == {"Left": [loose.pk], "Top": [close.pk], "Several faces and loose parts": [unpinned.pk]}


# One photo


def test_where_a_file_came_from_is_told_to_the_owner_only(client_in, technician_in, job):
    taken_at = datetime(2026, 5, 2, 10, 42, tzinfo=UTC)
    photo = factories.PhotoFactory(job=job, original_sha="c" * 64, taken_at=taken_at)
    address = reverse("intake:photo_one", args=[photo.pk])

    mine, theirs = (client.get(address).content.decode() for client in (client_in, technician_in))

    assert ("c" * 64 in mine, "2 May 2026, 10:42" in mine, "Place data" in mine) == (True, True, True)
    assert ("c" * 64 in theirs, "Details of the file" in theirs) == (False, False)


def test_a_photo_leads_to_the_one_before_and_the_next(client_in, job):
    rows = factories.PhotoFactory.create_batch(3, job=job)
    first, middle, last = (reverse("intake:photo_one", args=[row.pk]) for row in rows)

    pages_seen = {name: client_in.get(name).context["page"] for name in (first, middle, last)}

    found = [(pages_seen[name].earlier_url, pages_seen[name].later_url) for name in (first, middle, last)]
    assert found == [("", middle), (first, last), (middle, "")]


def test_a_photo_taken_back_has_no_page(client_in, act, job):
    photo = factories.PhotoFactory(job=job)
    services.take_photo_back(act(), photo)

    assert client_in.get(reverse("intake:photo_one", args=[photo.pk])).status_code == 404


# Side by side


def test_each_face_stands_side_by_side_with_the_words_of_its_marks(client_in, act, job):
    walk = factories.WalkFactory(job=job)
    came = factories.PhotoFactory(job=job, face="left", purpose="ARRIVAL")
    sold = factories.PhotoFactory(job=job, face="left", purpose="SOLD")
    gone = factories.MarkFactory(walk=walk, number=1, face="left", photo=came, pin_x_permille=5, pin_y_permille=5)
    factories.MarkFactory(walk=walk, number=2, face="left", kind="dent")
    services.mend_mark(act(), gone)

    (pair,) = pages_photos.compare(job)

    assert (pair.label, len(pair.arrived.photos), len(pair.sold.photos)) == ("Left", 1, 1)
    assert pair.arrived.marks == [
        "1: Left: scratch 28\u00a0mm, seen only close up",
        "2: Left: dent 28\u00a0mm, seen only close up",
    ]
    assert pair.sold.marks == [
        "2: Left: dent 28\u00a0mm, seen only close up",
        "1: mended, was Left: scratch 28\u00a0mm, seen only close up",
    ]
    html = client_in.get(url("photos_compare", job)).content.decode()
    for photo in (came, sold):
        assert reverse("intake:photo", args=[photo.sha]) in html
    assert '<g class="pin">' in html


def test_a_machine_that_came_back_is_compared_as_it_was_sold(owner):
    job = JobFactory(closed_at=factories.NOON, closed_by=owner, closed_as="SOLD_PROVED")
    factories.PhotoFactory(job=job, face="top", purpose="SOLD")
    again = JobFactory(machine=job.machine, kind="CAME_BACK", first_job=job)

    assert [pair.label for pair in pages_photos.compare(again)] == ["Top"]


def test_nothing_to_compare_says_what_to_do(client_in, job):
    assert "Nothing to compare yet." in client_in.get(url("photos_compare", job)).content.decode()


def test_a_face_without_a_photo_as_sold_says_so(client_in, job):
    factories.PhotoFactory(job=job, face="top")

    assert "No photo as sold yet." in client_in.get(url("photos_compare", job)).content.decode()


def test_tokens_run_out_and_cannot_be_made_by_hand(client_in, job):
    kept = uploads.token(photos.take_in(upload()))

    response = client_in.post(url("photo_add", job), {"key": "k", "purpose": "OTHER", "kept": kept[:-2] + "xx"})

    assert (response.status_code, JournalEntry.objects.count()) == (422, 0)


@pytest.mark.parametrize("view", ["photo_one", "photos_compare", "condition_score"])
def test_no_page_needs_inline_style_or_script(client_in, job, view):
    photo = factories.PhotoFactory(job=job, face="left")
    factories.MarkFactory(walk__job=job, face="left", photo=photo, pin_x_permille=1, pin_y_permille=1)
    args = {"photo_one": [photo.pk], "photos_compare": [job.machine.slug], "condition_score": []}[view]

    html = client_in.get(reverse(f"intake:{view}", args=args)).content.decode()

    assert [word for word in (" style=", "<style", "onclick", "javascript:") if word in html] == []


# A photo taken at a bench card


def test_a_photo_taken_at_a_card_leads_back_to_that_item(client_in, job):
    card = f"{reverse('bench:card', args=[job.machine.slug, 'water'])}?item=leak_hot"
    page = client_in.get(url("intake", job), {"back": card}).content.decode()
    assert f'href="{card}"' in page
    sent = {"key": "k", "purpose": "OTHER", "photos": upload(), "back": card}
    assert client_in.post(url("photo_add", job), sent).url == card
    assert Photo.objects.count() == 1


@pytest.mark.parametrize("back", ["//elsewhere.example", "https://elsewhere.example/machines/", "/sign-out/", ""])
def test_no_other_address_can_be_put_there(client_in, job, back):
    assert "Back to the card" not in client_in.get(url("intake", job), {"back": back}).content.decode()
    sent = {"key": "k", "purpose": "OTHER", "photos": upload(), "back": back}
    assert client_in.post(url("photo_add", job), sent).url.endswith("/intake/#photos")
