"""The pages of the past, from the file to the machines, for the owner only."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from tests.desk.past import lists
from workshop.core.models import Job, JournalEntry
from workshop.desk.models import PastFile
from workshop.desk.past import files, services


def upload(client, content, kind="STOCK", name="stock.csv"):
    return client.post(reverse("past"), {"kind": kind, "file": SimpleUploadedFile(name, content), "key": "k0"})


def page(response):
    return response.content.decode()


def test_from_the_file_to_the_machines(client_in):
    up = upload(client_in, lists.stock())
    file = PastFile.objects.get()
    assert up.headers["Location"] == reverse("past_columns", args=[file.pk])
    assert "“Maker”" in page(client_in.get(up.headers["Location"]))

    answers = {f"column_{place}": code for code, place in file.columns.items()}
    matched = client_in.post(up.headers["Location"], {**answers, "version": 1, "key": "k1"})
    check = client_in.get(matched.headers["Location"])
    assert "Bring in 1 machine" in page(check)
    assert "Price paid: £85.00" in page(check)
    assert Job.objects.count() == 0

    for _ in range(2):
        done = client_in.post(reverse("past_bring", args=[file.pk]), {"version": 2, "key": "k2"}, follow=True)
        assert done.status_code == 200
    machine = Job.objects.get().machine
    assert f'<a href="{machine.get_absolute_url()}">{machine.name}</a>' in page(done)
    assert JournalEntry.objects.filter(verb="bring_in").count() == 1
    assert "from stock.csv, row 2, on " in page(client_in.get(machine.get_absolute_url()))


def test_a_machine_sold_before_has_a_page_that_says_where_it_comes_from(client_in, act, shop):
    file = lists.keep(act(), "SALES", lists.sales())
    services.bring_in(act(), shop, file, file.version)
    name = Job.objects.get().machine.slug

    said = page(client_in.get(reverse("machine", args=[name])))

    assert "7.5 of 10, as the old book says" in said
    for other in ("pricing:price", "pricing:payments", "handover:handover", "bench:prove", "learn"):
        assert client_in.get(reverse(other, args=[name])).status_code == 200


def test_bad_rows_stand_on_the_check_and_the_early_press_lists_them(client_in):
    upload(client_in, lists.stock(lists.STOCK_ROW.replace("85.00", "12O")))
    file = PastFile.objects.get()
    sentence = "Row 2: the price paid “12O” is not an amount. Type digits, like 85.00."

    assert sentence in page(client_in.get(reverse("past_check", args=[file.pk])))
    pressed = client_in.post(reverse("past_bring", args=[file.pk]), {"version": 1, "key": "k"})
    assert pressed.status_code == 422
    assert page(pressed).count(sentence) == 2


def test_while_a_row_is_at_fault_no_press_is_offered(client_in):
    upload(client_in, lists.stock(lists.STOCK_ROW, lists.STOCK_ROW.replace("85.00", "12O").replace("0456", "0457")))

    said = page(client_in.get(reverse("past_check", args=[PastFile.objects.get().pk])))

    assert "Nothing comes in until these rows are mended." in said
    assert reverse("past_bring", args=[PastFile.objects.get().pk]) not in said
    assert "Would come in" not in said
    assert "As they would come in" not in said


def test_a_file_with_nothing_new_offers_no_press(client_in, act, shop):
    first = lists.keep(act(), "STOCK", lists.stock())
    services.bring_in(act(), shop, first, first.version)
    again = lists.keep(act(), "STOCK", lists.stock())

    said = page(client_in.get(reverse("past_check", args=[again.pk])))

    assert "There is nothing new in this file: every row is left out." in said
    assert reverse("past_bring", args=[again.pk]) not in said


def test_an_absurd_price_is_asked_about_once(client_in, act):
    rows = [lists.STOCK_ROW.replace("0456", f"045{n}").replace("85.00", price) for n, price in
            enumerate(("85.00", "90.00", "9500.00", "100001"))]  # fmt: skip
    file = lists.keep(act(), "STOCK", lists.stock(*rows[:2], rows[0].replace("0450", "0460"), *rows[2:]))
    check, bring = (reverse(name, args=[file.pk]) for name in ("past_check", "past_bring"))

    said = page(client_in.get(check))
    assert "Row 5: is the price paid really £9,500.00? The middle of this file is £90.00." in said
    assert "Row 6: is the price paid really £100,001.00?" in said
    asked = client_in.post(bring, {"version": file.version, "key": "k"})
    assert (asked.status_code, Job.objects.count()) == (422, 0)
    assert "Yes, bring in 5 machines" in page(asked)
    form = asked.context["form"]
    client_in.post(bring, {"version": file.version, "key": "k", "sure": form["sure"].value()})
    assert Job.objects.count() == 5


@pytest.mark.parametrize("content", [b"", b"A,B\n1,\x002", b"PK\x03\x04", b"\xff\xfe\x00", b"A\n"])
def test_a_file_that_cannot_be_read_is_a_sentence_beside_the_box(client_in, content):
    refused = upload(client_in, content)

    assert refused.status_code == 422
    assert 'aria-invalid="true"' in page(refused)
    assert PastFile.objects.count() == 0


def test_no_file_is_said(client_in):
    refused = client_in.post(reverse("past"), {"kind": "STOCK"})

    assert (refused.status_code, "Choose a file." in page(refused)) == (422, True)


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ({}, "No column is matched to Maker."),
        ({"column_0": "maker", "column_1": "maker"}, "Maker is matched twice."),
        ({"column_0": "nonsense"}, "Choose one of the list."),
        ({"new_kind": "KETTLE"}, "Select a valid choice"),
    ],
)
def test_columns_that_cannot_be_are_said_and_nothing_is_kept(client_in, answers, words):
    upload(client_in, lists.stock())
    file = PastFile.objects.get()

    refused = client_in.post(reverse("past_columns", args=[file.pk]), {**answers, "version": 1, "key": "k1"})

    assert refused.status_code == 422
    assert words in page(refused).replace("&#x27;", "'")
    file.refresh_from_db()
    assert file.version == 1


def test_the_order_of_dates_is_asked_where_dates_are_written_with_slashes(client_in):
    upload(client_in, lists.stock())
    upload_two = lists.stock(lists.STOCK_ROW.replace("2026-04-03", "03/04/2026"))
    client_in.post(reverse("past"), {"kind": "STOCK", "file": SimpleUploadedFile("b.csv", upload_two), "key": "k9"})
    plain, slashed = PastFile.objects.order_by("pk")

    assert "A date like 03/04/2026 is" not in page(client_in.get(reverse("past_columns", args=[plain.pk])))
    assert "A date like 03/04/2026 is" in page(client_in.get(reverse("past_columns", args=[slashed.pk])))


@pytest.mark.parametrize("kind", ["stock", "sales"])
@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_a_template_downloads_and_its_example_never_comes_in(client_in, kind, form):
    got = client_in.get(reverse("past_template", args=[kind, form]))
    upload(client_in, got.content, kind=kind.upper(), name=f"template.{form}")

    assert got.headers["Content-Disposition"] == f'attachment; filename="second-pull-{kind}.{form}"'
    checked = page(client_in.get(reverse("past_check", args=[PastFile.objects.get().pk])))
    assert "Row 2: it is the example of the template. Left out." in checked


def test_a_template_of_another_kind_is_not_there(client_in):
    assert client_in.get(reverse("past_template", args=["stock", "pdf"])).status_code == 404
    assert client_in.get(reverse("past_template", args=["people", "csv"])).status_code == 404


def test_it_is_the_owners(technician_in, owner, act):
    file = lists.keep(act(), "STOCK", lists.stock())
    addresses = [
        reverse("past"),
        reverse("past_columns", args=[file.pk]),
        reverse("past_check", args=[file.pk]),
        reverse("past_template", args=["stock", "csv"]),
    ]

    assert [technician_in.get(address).status_code for address in addresses] == [403] * 4
    assert technician_in.post(reverse("past_bring", args=[file.pk])).status_code == 403


def test_a_file_larger_than_the_house_takes_is_not_read_whole(client_in):
    refused = upload(client_in, b"A,B\n" + b"1,2\n" * (6 * 1024 * 256))

    assert "At most 5 MB come in at once" in page(refused)


def test_a_workbook_with_bad_bytes_inside_is_a_sentence(client_in):
    good = bytearray(files.template_xlsx("STOCK"))
    middle = len(good) // 2
    good[middle - 900 : middle + 900] = b"\x00" * 1800

    assert upload(client_in, bytes(good), name="x.xlsx").status_code == 422


@pytest.mark.parametrize(
    "odd", ["", "-1", "1e9", "NaN", "\x00", "ß𝔘łé\u202e", "'; DROP TABLE core_job; --", "x" * 5000]
)
def test_odd_answers_are_refused_and_store_nothing(client_in, odd):
    upload(client_in, lists.stock())
    file = PastFile.objects.get()
    columns = {f"column_{place}": odd for place in range(9)}

    answers = [
        client_in.post(reverse("past_columns", args=[file.pk]), {**columns, "version": 1, "order": odd, "key": "k1"}),
        client_in.post(reverse("past_columns", args=[file.pk]), {"version": odd, "new_kind": odd, "key": odd}),
        client_in.post(reverse("past_bring", args=[file.pk]), {"version": odd, "key": "k2"}),
        client_in.post(reverse("past"), {"kind": odd, "file": SimpleUploadedFile("a.csv", b"A\n1\n"), "key": "k3"}),
    ]

    assert [answer.status_code in (409, 422) for answer in answers] == [True] * 4
    assert (PastFile.objects.count(), Job.objects.count(), JournalEntry.objects.count()) == (1, 0, 1)


def test_the_way_in_stands_on_our_workshop(client_in):
    assert f'href="{reverse("past")}"' in page(client_in.get(reverse("core:shop_edit")))


def test_a_column_that_nothing_is_matched_to_says_that_it_does_not_come_in(client_in):
    rows = [f"{lists.STOCK_HEADINGS},Colour", f"{lists.STOCK_ROW},cream"]
    to = upload(client_in, "\r\n".join(rows).encode())["Location"]

    fields = client_in.get(to).context["form"].fields

    assert fields["column_9"].help_text == "Not brought in as it stands. Like: cream"
    assert fields["column_0"].help_text == "Like: Fennick and Low"
