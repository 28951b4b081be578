"""Tags as paper: their size, the words on them, a code a phone can read, fonts of our own, and no price or person."""

import io
from decimal import Decimal
from typing import Any

import pypdf
import pypdfium2
import pytest
import zxingcpp
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from handover import pdf, tags
from handover.label_grid import Label
from tests.factories import JobFactory, PersonFactory
from tests.intake.factories import PurchaseFactory
from workshop.bench import pages_prove
from workshop.core.models import Place, Shop

MM_A_PT = 25.4 / 72
SIZES = [("60", "40"), ("50", "30"), ("63.5", "38.1"), ("150", "100")]


@pytest.fixture(autouse=True)
def _no_warning(caplog: pytest.LogCaptureFixture) -> Any:
    """Anything the library grumbles about is a fault of the tag."""
    yield
    assert [record.getMessage() for record in caplog.records if record.name.startswith("weasyprint")] == []


@pytest.fixture
def whole(shop, settings):
    """A machine with all that a tag may and may not show."""
    settings.PUBLIC_URL = "http://192.168.1.20:8000"
    place = Place.objects.create(name="Regal Größe 2")
    job = JobFactory(machine__name="Woodshed Mongoose", machine__slug="woodshed-mongoose", machine__place=place)
    PurchaseFactory(job=job, seller=PersonFactory(name="Jörg Müller"), price_minor=8599)
    return job


def read(data):
    return pypdf.PdfReader(io.BytesIO(data))


def words(data):
    return " ".join(" ".join(page.extract_text() for page in read(data).pages).split())


def size_mm(page):
    return round(float(page.mediabox.width) * MM_A_PT, 1), round(float(page.mediabox.height) * MM_A_PT, 1)


def codes(data, page=0, dpi=200):
    picture = pypdfium2.PdfDocument(data)[page].render(scale=dpi / 72, grayscale=True).to_pil()
    return zxingcpp.read_barcodes(picture)


def ink_mm(data, dpi=200):
    """The box of everything printed on the first page: left, top, right, bottom edges left white."""
    picture = pypdfium2.PdfDocument(data)[0].render(scale=dpi / 72, grayscale=True).to_pil()
    left, top, right, bottom = picture.point(lambda p: 255 if p < 128 else 0).getbbox()
    return [round(x * 25.4 / dpi, 1) for x in (left, top, picture.width - right, picture.height - bottom)]


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_one_label_has_the_workshops_size_and_everything_stands_inside(client_in, whole, width, height):
    Shop.objects.update(tag_width_mm=Decimal(width), tag_height_mm=Decimal(height))

    data = client_in.get(reverse("machine_tag_pdf", args=["woodshed-mongoose"])).content

    assert [size_mm(page) for page in read(data).pages] == [(float(width), float(height))]
    assert min(ink_mm(data)) >= 0.8
    assert [code.text for code in codes(data)] == ["http://192.168.1.20:8000/m/woodshed-mongoose/"]


def test_the_usual_label_prints_its_name_twice_at_18_pt_bold(client_in, whole):
    data = client_in.get(reverse("machine_tag_pdf", args=["woodshed-mongoose"])).content
    page = pypdfium2.PdfDocument(data)[0].get_textpage()
    heights = {}
    for at in range(page.count_chars()):
        _, bottom, _, top = page.get_charbox(at, loose=True)
        heights.setdefault(page.get_text_range(at, 1), []).append(round(top - bottom, 1))

    printed = words(data)
    assert printed.count("Woodshed") == 2
    assert printed.count("Mongoose") == 2
    assert len(set(heights["W"])) == 1
    assert heights["W"][0] == pytest.approx(max(heights["R"]) * 18 / 10, abs=0.3)
    assert "Regal Größe 2" in printed
    assert "Serial ends 56-22" in printed


def test_no_price_and_no_person_stand_on_a_tag(client_in, whole):
    printed = words(client_in.get(reverse("machine_tag_pdf", args=["woodshed-mongoose"])).content)

    assert "85" not in printed
    assert "Müller" not in printed


def test_the_code_is_at_least_20_mm_wide(whole):
    label = Label(Decimal(60), Decimal(40))
    [code] = codes(tags.one(tags.machine_label(whole.machine, label), label), dpi=300)

    corners = code.position
    assert (corners.top_right.x - corners.top_left.x) * 25.4 / 300 >= 19.8
    assert (corners.bottom_left.y - corners.top_left.y) * 25.4 / 300 >= 19.8


def test_only_our_own_fonts_are_in_it_and_they_are_embedded(whole):
    label = Label(Decimal(60), Decimal(40))
    fonts = read(tags.one(tags.machine_label(whole.machine, label), label)).pages[0]["/Resources"]["/Font"]

    found = [font.get_object()["/DescendantFonts"][0].get_object()["/FontDescriptor"] for font in fonts.values()]
    assert len(found) == 2
    assert all("Atkinson" in font["/FontName"] and "/FontFile2" in font for font in found)


def test_a_machine_without_serial_and_place_says_so(whole):
    whole.machine.serial, whole.machine.place = "", None
    label = Label(Decimal(60), Decimal(40))

    printed = words(tags.one(tags.machine_label(whole.machine, label), label))

    assert "No serial" in printed
    assert "No place yet" in printed


def test_the_same_machine_gives_the_same_bytes(whole):
    label = Label(Decimal(60), Decimal(40))

    first, second = (tags.one(tags.machine_label(whole.machine, label), label) for _ in range(2))

    assert first == second


def test_a_place_tag_opens_the_place(client_in, whole):
    place = whole.machine.place

    data = client_in.get(reverse("handover:place_tag_pdf", args=[place.pk])).content

    assert [code.text for code in codes(data)] == [f"http://192.168.1.20:8000/p/{place.pk}/"]
    assert words(data).count("Regal Größe") == 2


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_do_not_use_tag_says_so_on_a_black_band_and_what_failed(client_in, whole, monkeypatch, width, height):
    Shop.objects.update(tag_width_mm=Decimal(width), tag_height_mm=Decimal(height))
    rows = [{"label": f"Earth continuity {n} failed. Sam, 12 May"} for n in (1, 2, 3)]
    monkeypatch.setattr(pages_prove, "failed", lambda facts: rows)

    data = client_in.get(reverse("do_not_use_pdf", args=["woodshed-mongoose"])).content

    picture = pypdfium2.PdfDocument(data)[0].render(scale=4, grayscale=True).to_pil()
    assert [size_mm(page) for page in read(data).pages] == [(float(width), float(height))]
    assert picture.getpixel((picture.width - 12, 12)) == 0
    assert "DO NOT USE" in words(data)
    assert "Woodshed Mongoose" in words(data)
    assert "Earth continuity 1" in words(data)
    assert len(codes(data)) == 1


def test_a_machine_that_failed_nothing_needs_no_such_tag(client_in, whole):
    answered = client_in.get(reverse("do_not_use_pdf", args=["woodshed-mongoose"]))

    assert answered.url == reverse("bench:do_not_use", args=["woodshed-mongoose"])


# Sheets of labels


def sheet(client, **asked):
    return client.get(reverse("handover:tags_pdf"), {"first": 1, **asked})


@pytest.mark.parametrize(("paper", "size"), [("A4", (210.0, 297.0)), ("LETTER", (215.9, 279.4))])
def test_a_sheet_holds_many_machines_and_places(client_in, whole, paper, size):
    Shop.objects.update(paper=paper)
    other = JobFactory(machine__slug="owl-cinema", machine__name="Owl Cinema")
    asked = {"machines": ["woodshed-mongoose", "owl-cinema"], "places": [whole.machine.place_id], "lines": "on"}

    data = sheet(client_in, **asked).content

    assert [size_mm(page) for page in read(data).pages] == [size]
    assert {code.text.removeprefix("http://192.168.1.20:8000") for code in codes(data)} == {
        "/m/woodshed-mongoose/",
        f"/m/{other.machine.slug}/",
        f"/p/{whole.machine.place_id}/",
    }


def test_a_half_used_sheet_begins_at_its_first_free_label_and_goes_on_to_the_next(client_in, whole):
    for number in range(3):
        JobFactory(machine__slug=f"owl-{number}", machine__name=f"Owl {number}")
    asked = ["woodshed-mongoose", "owl-0", "owl-1", "owl-2"]

    data = sheet(client_in, machines=asked, first=20).content

    by_page = [sorted(code.text.split("/")[-2] for code in codes(data, page)) for page in (0, 1)]
    assert len(read(data).pages) == 2
    assert by_page == [["owl-0", "owl-1"], ["owl-2", "woodshed-mongoose"]]
    # 3 columns of 60 mm, 7 rows of 40 mm, centred on A4: label 20 is the second of the last row.
    second = min(codes(data, 0), key=lambda code: code.position.top_left.x)
    assert second.position.top_left.y * 25.4 / 200 == pytest.approx((297 - 280) / 2 + 240 + 2, abs=0.5)
    assert second.position.top_right.x * 25.4 / 200 == pytest.approx((210 - 180) / 2 + 120 - 2, abs=0.5)


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({}, "Choose at least one machine or place."),
        ({"machines": ["woodshed-mongoose"], "first": 22}, "A sheet holds 21 labels. Type a number from 1 to 21."),
        ({"machines": ["woodshed-mongoose"], "first": 0}, "Type a number from 1 to 21."),
        ({"machines": ["woodshed-mongoose"], "first": ""}, "Type 1 for a whole sheet"),
        ({"machines": ["no-such-one"]}, "no-such-one is not one of the available choices"),
        ({"places": ["x"]}, "x is not one of the available choices"),
    ],
)
def test_a_wrong_choice_is_said_beside_the_box(client_in, whole, asked, sentence):
    refused = sheet(client_in, **asked)

    assert refused.status_code == 422
    assert sentence in refused.content.decode()


def test_there_is_nothing_to_tag_in_an_empty_workshop(client_in):
    assert "Nothing to tag yet" in client_in.get(reverse("handover:tags")).content.decode()


@pytest.mark.parametrize("name", ["tags", "tags_pdf"])
def test_tags_ask_equally_often_for_one_machine_and_for_thirty(client_in, whole, name):
    def asked():
        slugs = list(Place.objects.values_list("machines__slug", flat=True))
        return client_in.get(reverse(f"handover:{name}"), {"machines": [s for s in slugs if s], "first": 1})

    asked()
    with CaptureQueriesContext(connection) as one:
        asked()
    JobFactory.create_batch(29, machine__place=whole.machine.place)

    with CaptureQueriesContext(connection) as thirty:
        answered = asked()

    assert (answered.status_code, len(thirty)) == (200, len(one))


def test_without_the_pdfs_libraries_the_page_says_one_sentence_and_offers_the_html_tag(client_in, whole, monkeypatch):
    def missing():
        raise pdf.PdfUnavailable

    monkeypatch.setattr(pdf, "_weasyprint", missing)

    answered = client_in.get(reverse("machine_tag_pdf", args=["woodshed-mongoose"]))

    page = answered.content.decode()
    assert answered.status_code == 503
    assert "libpangoft2-1.0-0" in page
    assert reverse("intake:machine_tag", args=["woodshed-mongoose"]) in page


# Our workshop


def test_the_size_of_a_tag_is_set_in_our_workshop(client_in, act, shop):
    form = client_in.get(reverse("core:shop_edit")).context["form"]
    typed = {name: value for name, value in form.initial.items() if value is not None}
    size = {"tag_width_mm": "63,5 mm", "tag_height_mm": "38.1", "tag_gap_across_mm": "2.5", "tag_gap_down_mm": ""}

    answered = client_in.post(reverse("core:shop_edit"), {**typed, **size})

    shop.refresh_from_db()
    assert answered.status_code == 302
    assert (shop.tag_width_mm, shop.tag_height_mm) == (Decimal("63.5"), Decimal("38.1"))
    assert (shop.tag_gap_across_mm, shop.tag_gap_down_mm) == (Decimal("2.5"), Decimal(0))


def test_a_label_too_small_for_its_code_is_refused(client_in, shop):
    refused = client_in.post(reverse("core:shop_edit"), {"tag_width_mm": "40"})

    assert refused.status_code == 422
    assert "This is under 50." in refused.content.decode()


@pytest.mark.parametrize(
    ("address", "warned"),
    [
        ("http://127.0.0.1:8000", True),
        ("http://localhost:8000", True),
        ("http://192.168.1.20:8000", False),
        ("https://tram-shed.example", False),
    ],
)
def test_a_code_that_leads_to_this_computer_alone_is_warned_of(client_in, job, settings, address, warned):
    settings.PUBLIC_URL = address
    pages = (reverse("intake:machine_tag", args=[job.machine.slug]), reverse("handover:tags"))
    for page in pages:
        assert ("leads to this computer alone" in client_in.get(page).content.decode()) is warned
