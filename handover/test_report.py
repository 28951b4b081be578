"""The test report: what was read on one machine, with limits, editions, instruments, people and dates, on paper.

It is printed from the record as it stands: readings are never changed, so a later print says the same of them.
"""

from dataclasses import dataclass
from datetime import datetime

from django.template.loader import render_to_string

from handover import pdf
from workshop.bench.report import BenchReport, report
from workshop.core.models import Job, Shop
from workshop.core.templatetags.measures import clock, day, measure, number

STYLES = ("sheet-page.css", "sheet.css", "report.css")


@dataclass(frozen=True, slots=True)
class TestReport:
    """Everything the paper prints."""

    __test__ = False  # a paper, not a test

    name: str
    shop: Shop
    facts: list[tuple[str, str]]
    bench: BenchReport
    printed: str
    foot: str


def compose(job: Job, at: datetime) -> TestReport:
    """Return the report of one job as it stands at `at`."""
    shop = Shop.objects.get(pk=1)
    machine = job.machine
    printed = f"{day(at)}, {clock(at)}"
    return TestReport(
        name=machine.name,
        shop=shop,
        facts=_facts(job),
        bench=report(job),
        printed=printed,
        foot=f"{machine.name} · test report, {printed} · {shop.name}",
    )


def draw(content: TestReport) -> bytes:
    """Return the report as a tagged PDF.

    :raises PdfUnavailable: the system libraries are missing.
    """
    html = render_to_string("handover/test_report_paper.html", {"report": content})
    return pdf.draw(html, STYLES, "", tagged=True)


def _facts(job: Job) -> list[tuple[str, str]]:
    """The unit's own facts come before its model's."""
    machine, notes = job.machine, job.machine.notes
    length, section = machine.cord_length_m or notes.cord_length_m, machine.cord_section_mm2 or notes.cord_section_mm2
    cord = [measure(length, "m") if length else "", f"{number(section)} mm²" if section else ""]
    volts, watts = machine.volts or notes.volts, machine.watts or notes.watts
    rows = [
        ("Machine", f"{notes}, {notes.get_kind_display().lower()}"),
        ("Serial", machine.serial_words),
        ("Plate", ", ".join(filter(None, [measure(volts, "V"), measure(watts, "W")]))),
        ("Class", machine.get_appliance_class_display()),
        ("Cord", ", ".join(filter(None, cord))),
    ]
    return [(label, words) for label, words in rows if words]
