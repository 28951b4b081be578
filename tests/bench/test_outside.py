"""An outside tester's report stands for the electrical readings it covers, until the case is opened."""

from datetime import date, time
from typing import Any

import pytest

from tests.intake.factories import PurchaseFactory
from workshop.bench import pages
from workshop.bench.facts.prove import ItemState
from workshop.bench.services.outside import OutsideTyped, outside_report
from workshop.core.acts import Refused
from workshop.core.models import Instrument, OutsideReport, Reading
from workshop.core.services import Outside
from workshop.core.undo import UNDO

DAY = date(2026, 5, 12)  # the bench's own day


def report(
    bench: Any,
    *covers: str,
    on: date = DAY,
    at: time | None = None,
    passed: bool = True,
    number: str = "R 77",
    words: str = "0.07 ohm",
) -> Any:
    said = Outside(measured_on=on, who="Brook Testing", number=number, passed=passed, words=words, measured_at=at)
    return outside_report(bench.act(at=bench.now()), bench.job, OutsideTyped(said, covers))


def later(bench: Any) -> time:
    """The time of day a minute on: after the case was shut."""
    return bench.now().time()  # type: ignore[no-any-return]


def look(bench: Any) -> None:
    bench.look_under_lid()
    bench.read("case_shut")
    bench.read("visual")


def test_a_report_stands_for_earth_and_insulation(bench: Any) -> None:
    Instrument.objects.all().delete()  # a workshop without any meter
    look(bench)
    report(bench, "earth", "insulation", at=later(bench))
    assert bench.facts.safe
    assert bench.state("earth") is ItemState.PASSED


def test_it_never_stands_for_what_is_looked_at(bench: Any) -> None:
    report(bench, "earth", "insulation", "visual", "case_shut")
    assert sorted(Reading.objects.values_list("item", flat=True)) == ["earth", "insulation"]
    assert not bench.facts.safe


def test_a_report_of_looks_alone_is_refused(bench: Any) -> None:
    with pytest.raises(Refused, match="which readings the report covers"):
        report(bench, "visual")
    assert not OutsideReport.objects.exists()


def test_without_earth_class_one_is_not_safe_and_nothing_energised_is_read(bench: Any) -> None:
    look(bench)
    report(bench, "insulation", at=later(bench))
    assert [standing.item.code for standing in bench.facts.before_power()] == ["earth"]
    for code in ("leak_hot", "pressure", "watts_heating"):
        with pytest.raises(Refused, match="Not safe to power yet"):
            bench.read(code, "10")


def test_a_failed_report_stops_the_machine(bench: Any) -> None:
    look(bench)
    report(bench, "earth", "insulation", passed=False, at=later(bench))
    assert bench.state("earth") is ItemState.FAILED
    assert not bench.facts.safe


def test_it_lapses_when_the_case_is_opened(bench: Any) -> None:
    look(bench)
    report(bench, "earth", "insulation", at=later(bench))
    bench.open_case()
    bench.shut_case()
    assert bench.state("earth") is ItemState.WITHDRAWN
    assert not bench.facts.safe
    look(bench)
    report(bench, "earth", "insulation", at=bench.now().time())
    assert bench.facts.safe


@pytest.mark.parametrize("on", [date(2026, 5, 11), date(2026, 5, 2)])
def test_a_report_from_before_the_case_was_shut_is_refused(bench: Any, on: date) -> None:
    bench.open_case()
    bench.shut_case()
    with pytest.raises(Refused, match="last shut on 12 May 2026") as refused:
        report(bench, "earth", on=on)
    assert refused.value.field == "measured_on"


def test_without_any_opening_an_earlier_day_stands(bench: Any) -> None:
    report(bench, "earth", on=date(2026, 5, 3))
    assert bench.state("earth") is ItemState.PASSED


def test_on_the_day_of_the_shutting_the_time_tells_which_came_first(bench: Any) -> None:
    bench.open_case()
    bench.shut_case()  # at 12:02
    with pytest.raises(Refused, match=r"shut that day at 12:02\. Say when it was measured") as untold:
        report(bench, "earth")
    with pytest.raises(Refused, match=r"shut at 12:02\.") as before:
        report(bench, "earth", at=time(12, 2))
    assert (untold.value.field, before.value.field) == ("measured_at", "measured_at")
    assert not OutsideReport.objects.exists()
    report(bench, "earth", at=time(12, 4))
    assert bench.state("earth") is ItemState.PASSED
    assert OutsideReport.objects.get().measured_at == time(12, 4)


def test_a_time_that_has_not_come_is_refused(bench: Any) -> None:
    with pytest.raises(Refused, match="time has not come") as refused:
        report(bench, "earth", at=time(18, 0))
    assert refused.value.field == "measured_at"


def test_a_report_from_before_the_machine_was_bought_is_refused(bench: Any) -> None:
    PurchaseFactory(job=bench.job, acquired_on=date(2026, 5, 8))
    with pytest.raises(Refused, match="came here on 8 May 2026") as refused:
        report(bench, "earth", "insulation", on=date(2026, 5, 7))
    assert refused.value.field == "measured_on"
    assert not Reading.objects.exists()
    report(bench, "earth", "insulation", on=date(2026, 5, 8))
    assert bench.state("earth") is ItemState.PASSED


def test_a_machine_that_came_back_counts_from_the_day_it_came(bench: Any) -> None:
    with pytest.raises(Refused, match="came here on 2 May 2026"):  # the job was opened then, nothing was bought
        report(bench, "earth", on=date(2026, 5, 1))


def test_while_the_case_is_open_no_report_is_kept(bench: Any) -> None:
    bench.open_case()
    with pytest.raises(Refused, match="The case is open"):
        report(bench, "earth")


def test_a_day_that_has_not_come_is_refused(bench: Any) -> None:
    with pytest.raises(Refused, match="not come yet"):
        report(bench, "earth", on=date(2026, 5, 13))


def test_a_report_is_taken_back_whole(bench: Any) -> None:
    entry = report(bench, "earth", "insulation")
    UNDO["record_report"](bench.act(at=bench.now()), entry)
    assert (bench.state("earth"), bench.state("insulation")) == (ItemState.OPEN, ItemState.OPEN)
    with pytest.raises(Refused, match="taken back already"):
        UNDO["record_report"](bench.act(at=bench.now()), entry)


def test_the_sheet_names_the_tester_the_day_and_the_report(bench: Any) -> None:
    look(bench)
    report(bench, "earth", "insulation", at=later(bench))
    sheet = pages.for_sheet(bench.job)
    row = sheet.readings[0]
    assert (row.what, row.found) == ("Earth path, outside report", "passed, outside report")
    assert row.by_on.replace("\u00a0", " ") == "Brook Testing, 12 May"
    assert "report R 77 by Brook Testing" in " ".join(sheet.notes)


def test_the_form_keeps_what_was_typed_and_records_once(client_in: Any, bench: Any, kettle: str) -> None:
    address = f"/machines/{kettle}/outside-report/"
    typed = {"measured_on": "2026-05-12", "who": "Brook Testing", "number": "R 77", "result": "PASSED", "words": ""}
    refused = client_in.post(address, typed)
    assert refused.status_code == 422
    assert 'value="Brook Testing"' in refused.content.decode()
    for _ in range(2):
        done = client_in.post(address, typed | {"covers": ["earth", "insulation"], "key": "once"})
        assert done.status_code == 302
    assert (OutsideReport.objects.count(), Reading.objects.count()) == (1, 2)
    page = client_in.get(f"/machines/{kettle}/prove/").content.decode()
    assert "Brook Testing, 12 May" in page


def test_the_safe_card_leads_to_it_and_an_open_case_says_not_yet(client_in: Any, bench: Any, kettle: str) -> None:
    assert "outside-report/" in client_in.get(f"/machines/{kettle}/cards/safe-to-power/").content.decode()
    bench.open_case()
    page = client_in.get(f"/machines/{kettle}/outside-report/").content.decode()
    assert "Shut the case first" in page
    assert "Record the report" not in page
