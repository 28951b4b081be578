"""The test report: every reading with limit, edition, instrument, person and day; nothing that failed is left out."""

import io
import re
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pypdf
import pytest
from django.conf import settings
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from handover import test_report as paper
from workshop.core.models import Instrument

REPORT_CSS = settings.BASE_DIR / "static" / "css" / "report.css"


@pytest.fixture(autouse=True)
def _no_warning(caplog: pytest.LogCaptureFixture) -> Any:
    """Anything the library grumbles about is a fault of the paper."""
    yield
    assert [record.getMessage() for record in caplog.records if record.name.startswith("weasyprint")] == []


def words(pdf: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def shown(report: paper.TestReport, what: str) -> Any:
    return next(row for card in report.bench.cards for row in card.rows if row.what.startswith(what))


def test_a_failed_earth_stays_under_the_one_that_passed(bench):
    bench.make_safe()
    bench.read("earth", "0.31")
    bench.read("earth", "0.09")
    row = shown(paper.compose(bench.job, bench.now()), "Earth")
    assert (row.found, row.ended) == ("0.09\u00a0ohm", "passed")
    assert [each.split(" (")[0] for each in row.earlier if "0.31" in each] == ["0.31\u00a0ohm, failed"]


def test_each_limit_leads_to_its_edition(bench):
    bench.make_safe()
    report = paper.compose(bench.job, bench.now())
    row = shown(report, "Earth")
    assert "IET Code of Practice, 5th edition, 2020" in report.bench.notes[row.note - 1]
    assert "S-0" not in " ".join(report.bench.notes)


JUG = {"grams": 250, "start_c": 14, "end_c": 61, "time_s": 47}


def test_no_note_says_a_thing_twice(bench):
    bench.make_safe()
    bench.read("pressure", "9")
    bench.read("steam_power", inputs={name: Decimal(n) for name, n in JUG.items()} | {"liquid": "water"})
    notes = paper.compose(bench.job, bench.now()).bench.notes
    assert len(notes) == len(set(notes))
    for note in notes:
        parts = note.split(". ")
        assert len(parts) == len(set(parts)), note


def test_watts_are_written_one_way(bench):
    bench.job.machine.watts = 1600
    bench.job.machine.save()
    bench.make_safe()
    reading = bench.read("watts_heating", "1584")
    facts = dict(paper.compose(bench.job, bench.now()).facts)
    assert facts["Plate"].replace("\u00a0", " ").endswith("1,600 W")
    assert str(reading) == "Watts while heating: 1,584 W"


def test_a_second_look_stands_beside_the_first(bench):
    bench.read("case_shut")
    bench.read("visual")
    bench.read("earth", "0.09")
    bench.minutes += 5
    bench.read("earth", "0.10", second_look=True)
    row = shown(paper.compose(bench.job, bench.now()), "Earth")
    assert [each.split(" (")[0] for each in row.earlier] == ["second look: 0.1\u00a0ohm, passed"]


def test_what_the_leads_took_is_printed(bench):
    bench.read("case_shut")
    bench.read("visual")
    bench.read("earth", "0.14", lead_ohm=Decimal("0.05"))
    assert "0.14\u00a0ohm shown, 0.05\u00a0ohm of leads" in shown(paper.compose(bench.job, bench.now()), "Earth").how


def test_what_is_open_is_said_on_top(bench):
    bench.make_safe()
    report = paper.compose(bench.job, bench.now())
    assert "Leak after 30 minutes hot: not done" in report.bench.open_items
    assert "Not a full report yet" in words(paper.draw(report))


def test_a_reading_from_before_the_case_was_opened_is_not_proved(bench):
    bench.make_safe()
    bench.open_case()
    bench.shut_case()
    row = shown(paper.compose(bench.job, bench.now()), "Insulation")
    assert row.ended == "not proved: the case was opened since"


def test_an_overdue_instrument_is_named(bench):
    tester = Instrument.objects.filter(kind="EARTH").first()
    tester.calibration_due_on = (bench.now() - timedelta(days=3)).date()
    tester.save()
    bench.read("case_shut")
    bench.read("visual")
    bench.read("earth", "0.09", instrument=tester)
    report = paper.compose(bench.job, bench.now())
    assert report.bench.overdue == [f"calibration of {tester} was due {tester.calibration_due_on:%-d %B %Y}"]


def test_an_instrument_in_date_is_not_named(bench):
    tester = Instrument.objects.filter(kind="EARTH").first()
    tester.calibration_due_on = date(2099, 1, 1)
    tester.save()
    bench.read("case_shut")
    bench.read("visual")
    bench.read("earth", "0.09", instrument=tester)
    assert paper.compose(bench.job, bench.now()).bench.overdue == []


def test_the_paper_can_be_read_aloud(bench):
    bench.make_safe()
    drawn = paper.draw(paper.compose(bench.job, bench.now()))
    reader = pypdf.PdfReader(io.BytesIO(drawn))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert reader.metadata.title == f"{bench.job.machine.name}: test report"
    for each in ("Earth path, plug to metal", "0.09 ohm", "passed", "For the workshop"):
        assert each in words(drawn).replace("\u00a0", " ")


def test_a_machine_with_nothing_read_has_a_page_too(bench, client_in):
    page = client_in.get(reverse("handover:test_report", args=[bench.job.machine.slug]))
    assert "Nothing was read yet" in page.content.decode()


def test_the_pdf_comes_from_the_page(bench, client_in):
    bench.make_safe()
    answer = client_in.get(reverse("handover:test_report_pdf", args=[bench.job.machine.slug]))
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-1.7")


def test_thirty_readings_ask_no_more_of_the_database_than_one(bench, client_in):
    address = reverse("handover:test_report", args=[bench.job.machine.slug])
    bench.make_safe()
    client_in.get(address)
    with CaptureQueriesContext(connection) as few:
        client_in.get(address)
    for at in range(30):
        bench.read("earth", f"0.0{1 + at % 9}")
    with CaptureQueriesContext(connection) as many:
        client_in.get(address)
    assert len(many) == len(few)


def test_what_was_found_has_the_most_room():
    """A row holds the value, earlier readings and the instrument: of 175 mm at least 66 are theirs."""
    widths = re.findall(r"report-rows thead th:nth-child\(\d\) \{ width: (\d+)mm", REPORT_CSS.read_text())
    assert (len(widths), 175 - sum(map(int, widths)) >= 66) == (3, True)
