"""The pages of intake: what they show, what they refuse, how often they ask the database."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import get_resolver, reverse
from django.utils import timezone

from intake import facts, pages_photos, photos, services, stations
from intake.models import Finding, LoosePart, Mark, Photo, Purchase, RecallCheck, Walk
from intake.services import NewMark
from intake.words import PhotoFor
from tests.factories import JobFactory, ModelNotesFactory, ShopFactory
from tests.intake import factories, pictures
from workshop.core.models import Job, JournalEntry, Machine, ModelNotes, Place, Signoff
from workshop.core.stations import State, standing
from workshop.trade.condition.scoring import Face, MarkKind, Shows


def url(name, job, *args):
    return reverse(f"intake:{name}", args=[job.machine.slug, *args])


def upload(name="left.jpg", data=None, **how):
    return SimpleUploadedFile(name, pictures.jpeg(**how) if data is None else data, "image/jpeg")


@pytest.fixture
def whole(job):
    factories.finished_intake(job)
    return Job.objects.for_page().get(pk=job.pk)


# Log a machine


@pytest.fixture
def typed(db):
    return {
        "key": "k1",
        "notes": str(ModelNotesFactory().pk),
        "price_minor": "£85,00",
        "seller_name": "R. Seller",
        "place": "Shelf B",
    }


def test_three_answers_log_a_machine_and_lead_to_its_tag(client_in, typed):
    response = client_in.post(reverse("intake:machine_log"), typed)

    job = Job.objects.get()
    assert (response.status_code, response["Location"]) == (302, url("machine_tag", job))
    assert (job.purchase.price_minor, str(job.machine.place)) == (8500, "Shelf B")
    page = client_in.get(response["Location"]).content.decode()
    assert f"{job.machine} is logged. Stick the tag on now." in page


def test_finish_later_leads_to_the_machine(client_in, typed):
    response = client_in.post(reverse("intake:machine_log"), {**typed, "later": "1"})

    assert response["Location"] == Machine.objects.get().get_absolute_url()


def test_the_empty_form_says_each_answer_it_wants_and_stores_nothing(client_in):
    response = client_in.post(reverse("intake:machine_log"), {"key": "k1"})

    errors = {name: list(words) for name, words in response.context["form"].errors.items()}
    assert response.status_code == 422
    assert errors == {
        "notes": ["Say what it is: choose a model, or another one and name it."],
        "price_minor": ["Type what you paid."],
        "seller_name": ["Type who sold it."],
        "place": ["Say where it stands."],
    }
    assert (Machine.objects.count(), JournalEntry.objects.count()) == (0, 0)


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("price_minor", "85.00.0", "This has two decimal points. Type one, like 85.00."),
        ("price_minor", "-1", "This amount cannot be below zero."),
        ("acquired_on", "2027-01-01", "This date is in the future. Type the day you bought it."),
        ("acquired_on", "soon", "This is not a date. Type one like 2026-05-12."),
        ("cord_length_m", "long", "This is not a number. Type one like 17.5."),
        ("notes", "999999", "Select a valid choice. 999999 is not one of the available choices."),
        ("notes", "ANOTHER", None),
    ],
)
def test_a_wrong_answer_is_said_beside_its_field_and_what_was_typed_stays(client_in, typed, field, value, said):
    response = client_in.post(reverse("intake:machine_log"), {**typed, field: value})

    assert response.status_code == 422
    if said:
        assert list(response.context["form"].errors[field]) == [said]
        assert value in response.content.decode()
    else:
        assert sorted(response.context["form"].errors) == ["kind", "maker", "model"]
    assert "R. Seller" in response.content.decode()
    assert Machine.objects.count() == 0


@pytest.mark.parametrize("notes", ["ANOTHER", ""])
def test_another_model_is_named_on_the_same_page(client_in, typed, notes):
    another = {"notes": notes, "maker": "Orrin", "model": "Wren", "kind": "LEVER"}

    client_in.post(reverse("intake:machine_log"), {**typed, **another})

    assert str(Machine.objects.get().notes) == "Orrin Wren"


def test_five_presses_are_one_machine(client_in, typed):
    places = {client_in.post(reverse("intake:machine_log"), typed)["Location"] for _ in range(5)}

    assert (Machine.objects.count(), len(places)) == (1, 1)


def test_photos_outlive_a_refused_form(client_in, typed):
    refused = client_in.post(
        reverse("intake:machine_log"), {**typed, "place": "", "photos": [upload(), upload(width=50)]}
    )
    assert refused.status_code == 422
    assert "2 photos kept.</b> No need to choose them again." in refused.content.decode()
    kept = refused.context["form"].data["kept"]

    client_in.post(reverse("intake:machine_log"), {**typed, "kept": kept, "photos": [upload(width=60)]})

    assert sorted(Photo.objects.values_list("width_px", flat=True)) == [40, 50, 60]


def test_a_bad_file_among_good_ones_is_named_and_the_good_ones_are_kept(client_in, typed):
    files = [upload(), upload("letter.jpg", b"hello"), upload("empty.png", b"")]

    refused = client_in.post(reverse("intake:machine_log"), {**typed, "photos": files})

    assert list(refused.context["form"].errors["photos"]) == [
        "letter.jpg: This is not a photo we can read. Send JPEG, PNG or WebP.",
        "empty.png: This file is empty. Choose the photo again.",
    ]
    assert "1 photo kept.</b> No need to choose it again." in refused.content.decode()
    assert Machine.objects.count() == 0


@pytest.mark.parametrize("kept", ["made-by-hand", "a:b:c d:e", "\u0000", "x" * 30_000])
def test_a_token_made_by_hand_counts_for_nothing(client_in, typed, kept):
    response = client_in.post(reverse("intake:machine_log"), {**typed, "kept": kept})

    assert response.status_code == 302
    assert Photo.objects.count() == 0


def test_the_log_page_asks_the_database_equally_often_for_any_number_of_models(
    client_in, django_assert_max_num_queries
):
    counts = []
    for number in (1, 29):
        ModelNotesFactory.create_batch(number)
        for place in range(number):
            Place.objects.create(name=f"Shelf {number} {place}")
        with django_assert_max_num_queries(8) as asked:
            client_in.get(reverse("intake:machine_log"))
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_the_tag_prints_name_place_serial_end_and_a_code(client_in, whole, settings):
    settings.PUBLIC_URL = "https://tram-shed.example"

    page = client_in.get(url("machine_tag", whole)).content.decode()

    assert page.count(whole.machine.name) >= 2
    assert 'Serial ends <span class="nowrap">56-22</span>' in page
    assert f"https://tram-shed.example/m/{whole.machine.slug}/" in page
    assert "style=" not in page


# The Intake page


def test_a_fresh_machine_lists_everything_that_is_missing(client_in, job):
    page = client_in.get(url("intake", job))

    missing = [line.found for line in page.context["page"].lines if line.url]
    assert missing == [
        "Say who sold it and for how much.",
        "Say when it was bought.",
        "Walk round it: look at all six faces.",
        "Add arrival photos.",
        "Count the loose parts.",
        "Note what does not work, or that nothing was found.",
        "Note what the seller said, or that they said nothing.",
        "Look into the recall registers.",
    ]


def test_a_whole_intake_is_signed_off(client_in, whole):
    page = client_in.get(url("intake", whole))
    assert [line.what for line in page.context["page"].lines if line.url] == []

    response = client_in.post(
        url("intake_sign_off", whole), {"key": "k", "seen": page.context["sign_off_form"]["seen"].value()}
    )

    assert (response.status_code, Signoff.objects.get().station) == (302, "INTAKE")
    assert "Signed off by Ana" in client_in.get(url("intake", whole)).content.decode()


def test_pressed_too_early_it_lists_what_is_missing(client_in, job):
    seen = client_in.get(url("intake", job)).context["sign_off_form"]["seen"].value()

    response = client_in.post(url("intake_sign_off", job), {"key": "k", "seen": seen})

    assert response.status_code == 422
    assert len(response.context["form"].non_field_errors()) == 8
    assert Signoff.objects.count() == 0


def test_facts_that_changed_on_the_way_are_a_conflict(client_in, whole):
    seen = client_in.get(url("intake", whole)).context["sign_off_form"]["seen"].value()
    Machine.objects.update(serial="other")

    assert client_in.post(url("intake_sign_off", whole), {"key": "k", "seen": seen}).status_code == 409
    assert Signoff.objects.count() == 0


def test_later_photos_findings_and_places_leave_a_sign_off_standing_and_a_new_price_does_not(client_in, whole):
    seen = client_in.get(url("intake", whole)).context["sign_off_form"]["seen"].value()
    client_in.post(url("intake_sign_off", whole), {"key": "k", "seen": seen})

    def state():
        return standing(stations.STATION, stations.facts([whole.pk])[whole.pk], Signoff.objects.get()).state

    factories.PhotoFactory(job=whole, number=99)
    factories.FindingFactory(job=whole)
    factories.LoosePartFactory(job=whole)
    whole.machine.place = Place.objects.create(name="Bench")
    whole.machine.save()
    assert state() == State.FINISHED

    Purchase.objects.update(price_minor=1)
    assert state() == State.BEGUN


@pytest.mark.parametrize(
    ("view", "typed", "count"),
    [
        ("finding_add", {"words": "drips"}, Finding.objects.count),
        ("loose_part_add", {"words": "Tank", "counted": "1"}, LoosePart.objects.count),
        ("nothing_answer", {"what": "FOUND"}, lambda: len(Job.objects.get().nothings.all())),
        (
            "recall_record",
            {"registers": ["Product recalls (Electrical Safety First)"], "found": "NOTHING"},
            RecallCheck.objects.count,
        ),
    ],
)
def test_a_small_form_pressed_twice_is_one_row(client_in, job, view, typed, count):
    for _ in range(2):
        assert client_in.post(url(view, job), {"key": "k", **typed}).status_code == 302
    assert (count(), JournalEntry.objects.count()) == (1, 1)


@pytest.mark.parametrize(
    ("view", "typed", "field"),
    [
        ("finding_add", {"words": " "}, "words"),
        ("finding_add", {"words": "x" * 201}, "words"),
        ("loose_part_add", {"words": "Tank", "counted": "-1"}, "counted"),
        ("loose_part_add", {"words": "Tank", "counted": "lots"}, "counted"),
        ("nothing_answer", {"what": "ALL"}, "what"),
        ("recall_record", {"found": "NOTHING"}, "registers"),
        ("recall_record", {"registers": ["Another list"], "found": "NOTHING"}, "registers"),
        ("recall_record", {"registers": ["Product recalls (Electrical Safety First)"]}, "found"),
        ("serial_set", {"serial": ""}, "serial"),
        ("said_set", {"said": ""}, "said"),
        ("photo_add", {"purpose": "ARRIVAL", "face": "inside"}, "face"),
        ("photo_add", {"purpose": "ARRIVAL"}, "photos"),
    ],
)
def test_a_small_form_refused_keeps_the_page_and_stores_nothing(client_in, job, view, typed, field):
    factories.PurchaseFactory(job=job)

    response = client_in.post(url(view, job), {"key": "k", **typed})

    assert (response.status_code, sorted(response.context["form"].errors)) == (422, [field])
    assert "Intake is finished when" in response.content.decode()
    assert JournalEntry.objects.count() == 0


@pytest.mark.parametrize("view", ["serial_set", "said_set", "purchase_edit", "finding_edit", "loose_part_edit"])
def test_a_stale_save_shows_both_and_a_second_press_chooses(client_in, whole, view):
    Machine.objects.update(version=2)
    for kind in (Purchase, Finding, LoosePart):
        kind.objects.update(version=2)
    typed = {
        "serial_set": {"serial": "9999"},
        "said_set": {"said": "New words."},
        "purchase_edit": {"seller_name": "S. Other", "price_minor": "90", "acquired_on": "2026-05-03"},
        "finding_edit": {"words": "New words."},
        "loose_part_edit": {"words": "New words.", "counted": "2"},
    }[view]
    args = {"finding_edit": [Finding.objects.get().pk], "loose_part_edit": [LoosePart.objects.get().pk]}.get(view, [])

    response = client_in.post(url(view, whole, *args), {"key": "k", "version": "1", **typed})

    assert response.status_code == 409
    page = response.content.decode()
    assert all(value in page for value in typed.values())
    form = response.context["form"]
    again = client_in.post(
        url(view, whole, *args), {"key": form["key"].value(), "version": form["version"].value(), **typed}
    )
    assert again.status_code == 302


def test_edit_pages_open_with_what_stands(client_in, whole):
    finding, part = Finding.objects.get(), LoosePart.objects.get()

    shown = {
        "85.00": client_in.get(url("purchase_edit", whole)),
        finding.words: client_in.get(url("finding_edit", whole, finding.pk)),
        part.words: client_in.get(url("loose_part_edit", whole, part.pk)),
    }

    assert {words: words in page.content.decode() for words, page in shown.items()} == dict.fromkeys(shown, True)


def test_a_row_of_another_machine_is_not_found(client_in, whole):
    finding, photo, mark = factories.FindingFactory(), factories.PhotoFactory(), factories.MarkFactory()

    assert client_in.get(url("finding_edit", whole, finding.pk)).status_code == 404
    assert client_in.post(url("photo_take_back", whole, photo.pk)).status_code == 404
    assert client_in.post(url("mark_mend", whole, mark.pk)).status_code == 404


def test_a_technician_sees_and_changes_no_price(technician_in, whole):
    assert "£85.00" not in technician_in.get(url("intake", whole)).content.decode()
    assert "85.00" not in technician_in.get(url("purchase_edit", whole)).content.decode()

    technician_in.post(
        url("purchase_edit", whole),
        {"key": "k", "version": "1", "seller_name": "S. Other", "price_minor": "1", "acquired_on": "2026-05-02"},
    )

    bought = Purchase.objects.get()
    assert (bought.price_minor, bought.seller.name) == (8500, "S. Other")


def test_an_unreadable_serial_wants_a_photo_of_the_plate(client_in, whole):
    Machine.objects.update(serial="", serial_unreadable=True)
    asked = [u.sentence for u in stations.unmet(stations.facts([whole.pk])[whole.pk])]
    assert asked == ["Add a photo of the maker's plate: the serial cannot be read."]

    client_in.post(url("photo_add", whole), {"key": "k", "purpose": "PLATE", "face": "back", "photos": [upload()]})

    assert stations.unmet(stations.facts([whole.pk])[whole.pk]) == []


def test_a_recalled_machine_stops_until_it_is_looked_up_again(client_in, whole):
    look = {"registers": ["Product recalls (Electrical Safety First)"], "looked_on": "2026-05-04"}
    client_in.post(url("recall_record", whole), {"key": "a", **look, "found": "RECALLED"})

    assert facts.recalled([whole.pk]) == {whole.pk: True}
    assert "This model is recalled. Do not power or sell it." in client_in.get(url("intake", whole)).content.decode()
    assert [u.code for u in stations.unmet(stations.facts([whole.pk])[whole.pk])] == ["recall"]

    client_in.post(url("recall_record", whole), {"key": "b", **look, "found": "NOTHING"})
    assert facts.recalled([whole.pk]) == {whole.pk: False}


def test_a_machine_that_came_back_is_not_bought_again(client_in):
    job = JobFactory(kind="CAME_BACK", complaint="drips from the group")

    missing = {u.code for u in stations.unmet(stations.facts([job.pk])[job.pk])}

    assert missing == {"when", "faces", "photos", "loose", "recall"}
    assert "It came back: it was not bought again." in client_in.get(url("intake", job)).content.decode()


def test_the_same_serial_elsewhere_is_asked_about(client_in, whole):
    twin = JobFactory(machine__notes=whole.machine.notes, machine__serial=whole.machine.serial.lower())

    page = client_in.get(url("intake", whole)).content.decode()

    assert f"{twin.machine} has the same model and serial. Is it the same machine?" in page


def test_the_same_serial_is_looked_up_not_searched_for(client_in, whole):
    with CaptureQueriesContext(connection) as queries:
        client_in.get(url("intake", whole))
    (asked,) = (q["sql"] for q in queries.captured_queries if "UPPER(" in q["sql"])

    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SET LOCAL enable_seqscan = off")
        cursor.execute(("EXPLAIN " if connection.vendor == "postgresql" else "EXPLAIN QUERY PLAN ") + asked)
        plan = str(cursor.fetchall())

    assert "core_machine_serial_folded" in plan


def _fill(job, number):
    for _ in range(number):
        factories.PhotoFactory(job=job)
        factories.FindingFactory(job=job)
        factories.LoosePartFactory(job=job)
        factories.RecallCheckFactory(job=job)
        factories.MarkFactory(walk=Walk.objects.get(job=job), photo=Photo.objects.filter(job=job).first())


@pytest.mark.parametrize("view", ["intake", "walk"])
def test_a_page_asks_equally_often_for_any_number_of_rows(client_in, whole, view, django_assert_max_num_queries):
    counts = []
    for number in (1, 29):
        _fill(whole, number)
        with django_assert_max_num_queries(200) as asked:
            client_in.get(url(view, whole))
        counts.append(len(asked))
    assert counts[0] == counts[1]


@pytest.mark.django_db
def test_facts_of_thirty_jobs_cost_as_much_as_of_one(django_assert_num_queries):
    ShopFactory()
    jobs = JobFactory.create_batch(30)
    for job in jobs:
        factories.finished_intake(job)
    ids = [job.pk for job in jobs]

    for some in (ids[:1], ids):
        with django_assert_num_queries(10):
            found = stations.facts(some)
        assert {pk: stations.unmet(fact) for pk, fact in found.items()} == {pk: [] for pk in some}
        with django_assert_num_queries(6):
            answers = [
                facts.hold(some),
                facts.second_look(some),
                facts.open_findings(some),
                facts.purchases(some),
                facts.recalled(some),
            ]
        assert [sorted(answer) for answer in answers] == [some] * 5


@pytest.mark.parametrize(
    ("day", "stands", "stops_work"), [(date(2026, 5, 8), True, True), (date(2026, 5, 9), False, False)]
)
def test_a_hold_stands_until_its_day(act, day, stands, stops_work):
    shop = ShopFactory(country="AU-VIC")
    job = JobFactory()
    factories.PurchaseFactory(job=job, **services.purchase.hold_columns(shop, date(2026, 5, 2)))

    held = facts.hold([job.pk])[job.pk]

    assert (held.stands(day), held.stops_work(day)) == (stands, stops_work)


# The walk-round


MARK = {"face": "left", "zone": "low-right", "kind": "scratch", "size_mm": "28 mm", "shows": "arms_length"}


def test_a_zone_pressed_opens_the_form_for_it(client_in, job):
    page = client_in.get(url("walk", job) + "?face=left&zone=low-right").content.decode()

    assert "Add a mark on the left" in page
    assert '<option value="low-right" selected>Low front</option>' in page
    assert f'href="{url("walk", job)}?face=left&amp;zone=low-right#add"' in page


@pytest.mark.parametrize("query", ["?face=inside", "?zone=%00", "?face=front&face=left", "?face=&zone=nowhere"])
def test_an_address_made_by_hand_shows_the_front(client_in, job, query):
    assert client_in.get(url("walk", job) + query).status_code == 200


def test_a_mark_is_added_with_its_photo_and_drawn_with_its_number(client_in, job):
    response = client_in.post(url("mark_add", job), {"key": "k", **MARK, "photo": upload()})

    assert response["Location"] == url("walk", job) + "?face=left#marks"
    mark = Mark.objects.get()
    assert (mark.number, mark.size_mm, mark.photo.purpose) == (1, Decimal(28), PhotoFor.MARK)
    page = client_in.get(url("walk", job) + "?face=left").content.decode()
    assert "Left, low front: scratch 28\u00a0mm, seen at arm&#x27;s length" in page
    assert 'font-weight="700" fill="currentColor">1</text>' in page


def test_five_presses_are_one_mark(client_in, job):
    for _ in range(5):
        client_in.post(url("mark_add", job), {"key": "k", **MARK})
    assert Mark.objects.count() == 1


@pytest.mark.parametrize(
    ("field", "value"),
    [("size_mm", "0"), ("size_mm", ""), ("size_mm", "9e9"), ("kind", ""), ("shows", "x"), ("zone", "x"), ("face", "x")],
)
def test_a_refused_mark_keeps_its_words_and_its_photo(client_in, job, field, value):
    response = client_in.post(url("mark_add", job), {"key": "k", **MARK, field: value, "photo": upload()})

    assert (response.status_code, sorted(response.context["form"].errors)) == (422, [field])
    assert "1 photo kept.</b>" in response.content.decode()
    assert (Mark.objects.count(), Photo.objects.count()) == (0, 0)


def test_faces_are_looked_at_one_by_one_or_all_at_once(client_in, job):
    client_in.post(url("face_look", job), {"key": "a", "face": "front"})
    assert client_in.get(url("walk", job)).context["page"].face == "back"
    client_in.post(url("faces_look", job), {"key": "b"})

    page = client_in.get(url("walk", job))
    assert page.context["page"].unseen == []
    assert client_in.post(url("face_look", job), {"key": "c", "face": "front"}).status_code == 422
    assert client_in.post(url("face_look", job), {"key": "d", "face": "inside"}).status_code == 422


def test_a_mark_is_mended_taken_back_and_put_back(client_in, job):
    mark = factories.MarkFactory(walk__job=job, size_mm=Decimal(100))
    scores = []  # what the score will be, once all six faces were looked at
    for press in ("mark_mend", "mark_unmend", "mark_take_back", "mark_put_back"):
        assert client_in.post(url(press, job, mark.pk), {"key": press}).status_code == 302
        scores.append(client_in.get(url("walk", job)).context["page"].now)
    assert scores == ["10.0", "8.5", "10.0", "8.5"]


def test_before_all_six_faces_were_looked_at_there_is_no_score(client_in, job):
    walk = factories.WalkFactory(job=job)
    fresh = client_in.get(url("walk", job)).content.decode()
    factories.MarkFactory(walk=walk, size_mm=Decimal(100))
    marked = client_in.get(url("walk", job)).content.decode()
    client_in.post(url("face_look", job), {"key": "a", "face": "left"})
    one = client_in.get(url("walk", job)).content.decode()
    machine = client_in.get(job.machine.get_absolute_url()).content.decode()
    client_in.post(url("faces_look", job), {"key": "b"})
    six = client_in.get(url("walk", job)).content.decode()

    for early in (fresh, marked, one, machine):
        assert "of 10, as it is" not in early
        assert "8.5" not in early
    assert "Not looked at yet: the score comes with the sixth" in marked
    assert "1 of 6 faces looked at so far" in one
    assert "1 of 6 faces looked at so far" in machine
    assert [words in six for words in ("of 10, as it is", "8.5", "so far")] == [True, True, False]


def test_the_second_look_is_offered_once_the_first_is_done(client_in, job):
    assert client_in.get(url("walk", job)).context["page"].second == ""
    assert client_in.post(url("walk_same", job), {"key": "a"}).status_code == 422
    client_in.post(url("faces_look", job), {"key": "b"})
    assert client_in.get(url("walk", job)).context["page"].second == "ask"
    client_in.post(url("walk_again", job), {"key": "c"})
    assert client_in.get(url("walk", job)).context["page"].second == "begun"
    client_in.post(url("faces_look", job), {"key": "d"})
    assert client_in.get(url("walk", job)).context["page"].second == "done"


def test_the_score_is_explained_line_by_line(client_in, job):
    factories.MarkFactory(walk__job=job, number=1, size_mm=Decimal(100))

    lines = client_in.get(url("walk", job)).context["page"].score_lines

    assert lines == [("Front: scratch, 100 mm long, seen only close up", "1.5 off")]


# Photos


@pytest.fixture
def kept():
    return photos.take_in(upload())


def test_a_photo_is_served_privately_and_for_ever(client_in, kept):
    large = client_in.get(reverse("intake:photo", args=[kept.sha]))
    thumb = client_in.get(reverse("intake:photo_thumb", args=[kept.sha]))

    assert large.content == photos.open_photo(kept.sha)
    assert (large["Content-Type"], thumb["Content-Type"]) == ("image/jpeg", "image/webp")
    for response in (large, thumb):
        assert response["Cache-Control"] == "private, max-age=31536000, immutable"
        assert response["X-Content-Type-Options"] == "nosniff"


def test_a_stranger_sees_no_photo(shop, owner, kept):
    for view in ("photo", "photo_thumb"):
        response = Client().get(reverse(f"intake:{view}", args=[kept.sha]))
        assert (response.status_code, response["Location"].split("?")[0]) == (302, reverse("sign_in"))


@pytest.mark.parametrize("sha", ["0" * 64, "x", "a" * 63])
def test_an_unknown_photo_is_not_found(client_in, sha):
    assert client_in.get(reverse("intake:photo", args=[sha])).status_code == 404
    assert client_in.get(reverse("intake:photo_thumb", args=[sha])).status_code == 404


def test_photos_are_added_and_taken_back_on_intake(client_in, whole):
    client_in.post(
        url("photo_add", whole),
        {"key": "k", "purpose": "ARRIVAL", "face": "left", "photos": [upload(), upload(width=50)]},
    )
    rows = pages_photos.photo_rows(whole)
    assert [row.alt for row in rows[-2:]] == ["Left, photo 1: how it arrived", "Left, photo 2: how it arrived"]

    client_in.post(url("photo_take_back", whole, rows[-1].pk), {"key": "b"})

    assert [row.pk for row in pages_photos.photo_rows(whole)] == [row.pk for row in rows[:-1]]


# The Machine page's sections


def test_the_machine_page_shows_marks_and_photos(client_in, whole, act):
    services.add_mark(
        act(),
        whole,
        NewMark(face=Face.LEFT, kind=MarkKind.DENT, size_mm=Decimal(5), shows=Shows.FELT),
    )

    page = client_in.get(whole.machine.get_absolute_url()).content.decode()

    assert "Left: dent 5\u00a0mm, felt with a finger" in page
    assert 'aria-label="Left, mark 1"' in page
    assert "how it arrived" in page


def test_a_machine_nobody_walked_round_says_so(client_in, job):
    assert "Nobody has walked round it yet." in client_in.get(job.machine.get_absolute_url()).content.decode()


# The house's rules


def test_each_address_is_named_as_its_view():
    resolver = next(p for p in get_resolver().url_patterns if getattr(p, "app_name", "") == "intake")

    named = {pattern.name: pattern.callback.__name__ for pattern in resolver.url_patterns}

    assert named == {name: name for name in named}


def test_no_page_needs_inline_style_or_script(client_in, whole):
    _fill(whole, 2)
    pages_seen = [reverse("intake:machine_log"), *(url(v, whole) for v in ("intake", "walk", "machine_tag"))]

    for address in pages_seen:
        html = client_in.get(address).content.decode()
        assert [word for word in (" style=", "<style", "onclick", "javascript:") if word in html] == []


def test_models_are_not_made_twice_by_two_presses(client_in, typed):
    another = {**typed, "notes": "ANOTHER", "maker": "Orrin", "model": "Wren", "kind": "LEVER"}
    for key in ("a", "b"):
        client_in.post(reverse("intake:machine_log"), {**another, "key": key})

    assert (Machine.objects.count(), ModelNotes.objects.filter(maker="Orrin").count()) == (2, 1)


def test_a_technician_is_not_offered_day_or_seller_while_a_hold_stands(technician_in, client_in, whole):
    until = timezone.localdate() + timedelta(days=3)
    Purchase.objects.update(hold_until_on=until, hold_words="Keep it.")

    shown = technician_in.get(url("purchase_edit", whole))
    sent = technician_in.post(
        url("purchase_edit", whole),
        {"key": "k", "version": "1", "acquired_on": "2020-01-01", "seller_name": "S. Other"},
    )

    assert [field.name for field in shown.context["form"].visible_fields()] == ["bought_at", "payment_method"]
    assert "are the owner's to change" in shown.content.decode().replace("&#x27;", "'")
    assert (sent.status_code, Purchase.objects.get().acquired_on) == (422, date(2026, 5, 2))
    assert "Only the owner of the workshop may change" in sent.content.decode()
    assert "because" in client_in.get(url("purchase_edit", whole)).context["form"].fields


def test_a_serial_met_before_is_asked_about_with_the_way_to_its_machine(client_in, typed):
    client_in.post(reverse("intake:machine_log"), {**typed, "serial": "KE-77"})
    first = Machine.objects.get()

    asked = client_in.post(reverse("intake:machine_log"), {**typed, "key": "k2", "serial": "KE-77"})
    again = {box.name: box.value() for box in asked.context["form"] if box.value() is not None}

    assert asked.status_code == 422
    assert f'href="{first.get_absolute_url()}">Look at {first} first' in asked.content.decode()
    assert client_in.post(reverse("intake:machine_log"), again).status_code == 302
    assert Machine.objects.count() == 2


def test_another_model_with_a_serial_is_asked_about_a_taken_place_and_no_machine_is_named(client_in, typed):
    Place.objects.create(name="Bench 9", holds_several=False)
    sent = {**typed, "serial": "KE-77", "place": "Bench 9"}
    client_in.post(reverse("intake:machine_log"), sent)

    named = {"notes": "ANOTHER", "maker": "Onder", "model": "Two", "kind": "SINGLE_BOILER", "key": "k2"}
    asked = client_in.post(reverse("intake:machine_log"), {**sent, **named})

    assert asked.status_code == 422
    assert "stands at Bench 9" in asked.content.decode()
    assert "first</a>" not in asked.content.decode()
