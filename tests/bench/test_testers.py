"""Testers that say pass or fail, leads taken off, hot and cold, and whose calibration has run out."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from tests.bench import factories
from workshop.bench import pages, say
from workshop.bench.facts.prove import ItemState
from workshop.core.acts import Refused
from workshop.core.models import Instrument, Reading
from workshop.core.words import Outcome


def small_tester(kind: str, set_to: str | None) -> Instrument:
    limit = Decimal(set_to) if set_to else None
    return factories.InstrumentFactory(kind=kind, name="Small tester", pass_fail_only=True, set_limit=limit)


# this cord's limit is 0.129 ohm, insulation 0.3 megohm
@pytest.mark.parametrize(
    ("kind", "code", "set_to", "says", "outcome", "state"),
    [
        ("EARTH", "earth", "0.1", "good", Outcome.PASS, "passed at the tester's limit of 0.1 ohm"),
        ("EARTH", "earth", "0.129", "good", Outcome.PASS, "passed at the tester's limit of 0.129 ohm"),
        ("EARTH", "earth", "0.13", "good", Outcome.FAIL, "passed at the tester's limit of 0.13 ohm"),
        ("EARTH", "earth", "0.1", "bad", Outcome.FAIL, "failed at the tester's limit of 0.1 ohm"),
        ("INSULATION", "insulation", "1", "good", Outcome.PASS, "passed at the tester's limit of 1 megohm"),
        ("INSULATION", "insulation", "0.3", "good", Outcome.PASS, "passed at the tester's limit of 0.3 megohm"),
        ("INSULATION", "insulation", "0.25", "good", Outcome.FAIL, "passed at the tester's limit of 0.25 megohm"),
        ("INSULATION", "insulation", "1", "bad", Outcome.FAIL, "failed at the tester's limit of 1 megohm"),
    ],
)
def test_a_pass_is_worth_what_the_tester_is_set_to(
    bench: Any, kind: str, code: str, set_to: str, says: str, outcome: Outcome, state: str
) -> None:
    reading = bench.read(code, answer=says, instrument=small_tester(kind, set_to))
    assert (reading.outcome, reading.state.replace("\u00a0", " ")) == (outcome, state)
    assert bench.state(code) is (ItemState.PASSED if outcome == Outcome.PASS else ItemState.FAILED)


def test_a_pass_at_a_looser_limit_says_so(bench: Any) -> None:
    bench.read("earth", answer="good", instrument=small_tester("EARTH", "0.5"))
    lines = [line.replace("\u00a0", " ") for line in say.unsafe_lines(bench.facts)]
    wanted = "passed at the tester's limit of 0.5 ohm, but 0.129 ohm or less is asked"
    assert any(wanted in line for line in lines), lines


def test_a_fail_is_a_fail_even_where_readings_are_only_recorded(bench: Any, shop: Any) -> None:
    shop.profile = "us_record"
    shop.save()
    assert bench.read("earth", answer="bad", instrument=small_tester("EARTH", "0.5")).outcome == Outcome.FAIL
    assert bench.state("earth") is ItemState.FAILED
    assert bench.read("earth", answer="good", instrument=small_tester("EARTH", "0.5")).outcome == Outcome.RECORDED


def test_a_tester_nobody_said_the_setting_of_is_refused(bench: Any) -> None:
    with pytest.raises(Refused, match="Nobody said what Small tester is set to"):
        bench.read("earth", answer="good", instrument=small_tester("EARTH", None))
    assert not Reading.objects.exists()


def test_with_only_a_tester_the_card_asks_pass_or_fail(client_in: Any, bench: Any, kettle: str) -> None:
    Instrument.objects.filter(kind="EARTH").update(pass_fail_only=True, set_limit="0.2", name="Green tester")
    page = client_in.get(f"/machines/{kettle}/cards/safe-to-power/?item=earth").content.decode()
    assert 'name="value"' not in page
    assert "That is looser than the limit: a pass there is no pass here." in page
    Instrument.objects.filter(kind="EARTH").update(set_limit="0.1")
    owned = Instrument.objects.get(kind="EARTH")
    address = f"/machines/{kettle}/cards/safe-to-power/earth/read/"
    assert client_in.post(address, {"answer": "good", "instrument": owned.pk, "version": 0}).status_code == 302
    assert (Reading.objects.get().outcome, bench.state("earth")) == (Outcome.PASS, ItemState.PASSED)


def test_without_saying_which_tester_nothing_is_kept(client_in: Any, bench: Any, kettle: str) -> None:
    for _ in range(2):
        small_tester("EARTH", "0.1")
    address = f"/machines/{kettle}/cards/safe-to-power/earth/read/"
    response = client_in.post(address, {"answer": "good", "version": 0})
    assert response.status_code == 422
    assert "Choose one." in response.content.decode()
    assert not Reading.objects.exists()


def test_beside_a_meter_the_tester_is_folded(client_in: Any, bench: Any, kettle: str) -> None:
    small_tester("EARTH", "0.1")
    page = client_in.get(f"/machines/{kettle}/cards/safe-to-power/?item=earth").content.decode()
    assert 'name="value"' in page
    assert "Read it with a pass/fail tester" in page


# --- leads, current, hot and cold ------------------------------------------------------------------------


def test_leads_are_taken_off_and_both_are_kept(bench: Any) -> None:
    reading = bench.read("earth", "0.17", lead_ohm=Decimal("0.06"), test_current_a=Decimal("0.2"))
    assert (reading.value, reading.lead_ohm, reading.shown_value) == (Decimal("0.11"), Decimal("0.06"), Decimal("0.17"))
    assert reading.outcome == Outcome.PASS  # 0.17 would not have passed at 0.129
    words = say.how_words(reading).replace("\u00a0", " ")
    assert words == "0.17 ohm shown, 0.06 ohm of leads and extension cord taken off; at 200 mA"


def test_leads_cannot_be_more_than_the_reading(bench: Any) -> None:
    with pytest.raises(Refused, match="cannot be more than the whole reading") as refused:
        bench.read("earth", "0.05", lead_ohm=Decimal("0.06"))
    assert refused.value.field == "lead_ohm"


def test_hot_insulation_belongs_to_the_full_set_and_stops(bench: Any) -> None:
    asked = [standing.item.code for standing in bench.facts.asked()]
    assert "insulation_hot" not in asked
    bench.open_case("boiler joint")
    bench.shut_case()
    assert "insulation_hot" in [standing.item.code for standing in bench.facts.asked()]
    assert "item_insulation_hot" in bench.missing
    bench.make_safe()  # hot insulation is no part of safe to power
    assert bench.facts.safe
    reading = bench.read("insulation_hot", "0.29", test_volts=500)
    assert (reading.title, reading.warmth, reading.outcome) == ("Insulation at 500 V, hot", "HOT", Outcome.FAIL)
    assert not bench.facts.safe
    assert bench.read("insulation_hot", "0.3", test_volts=500).outcome == Outcome.PASS


def test_hot_insulation_lapses_with_the_case(bench: Any) -> None:
    bench.make_safe()
    bench.read("insulation_hot", "5")
    bench.open_case("boiler element")
    bench.shut_case()
    assert bench.state("insulation_hot") is ItemState.WITHDRAWN


def test_250_volts_hot_asks_for_a_leakage_reading_too(bench: Any) -> None:
    bench.make_safe()
    assert "leakage" not in bench.facts.states
    bench.read("insulation_hot", "5", test_volts=250)
    assert "leakage" in bench.facts.states


@pytest.mark.parametrize(
    ("profile", "asked"),
    [
        ("uk_iet_5", True),
        ("uk_iet_4", True),
        ("de_en50678", True),
        ("de_en50699", True),
        ("aunz_5761", False),
        ("us_record", False),
        ("ca_record", False),
    ],
)
def test_250_volts_asks_for_leakage_where_the_profile_says_so(bench: Any, shop: Any, profile: str, asked: bool) -> None:
    shop.profile = profile
    shop.save()
    bench.read("insulation", "50", test_volts=250)
    assert ("leakage" in bench.facts.states) is asked


# --- calibration -----------------------------------------------------------------------------------------


def test_an_overdue_calibration_stands_beside_the_reading_and_on_the_sheet(bench: Any) -> None:
    meter = Instrument.objects.get(kind="EARTH")
    meter.name, meter.calibration_due_on = "Old meter", date(2026, 3, 1)
    meter.save()
    bench.read("case_shut")
    reading = bench.read("earth", "0.09", instrument=meter)
    assert say.how_words(reading) == "calibration of Old meter was due 1 March 2026"
    assert "Earth path, plug to metal: calibration of Old meter was due 1 March 2026." in (
        " ".join(pages.for_sheet(bench.job).notes)
    )


def test_a_calibration_due_on_the_day_is_not_overdue(bench: Any) -> None:
    meter = Instrument.objects.get(kind="EARTH")
    meter.calibration_due_on = date(2026, 5, 12)  # the bench's own day
    meter.save()
    assert not bench.read("earth", "0.09", instrument=meter).overdue


def test_the_reading_keeps_the_due_date_as_it_stood(bench: Any) -> None:
    meter = Instrument.objects.get(kind="EARTH")
    meter.calibration_due_on = date(2026, 3, 1)
    meter.save()
    reading = bench.read("earth", "0.09", instrument=meter)
    Instrument.objects.filter(pk=meter.pk).update(calibration_due_on=date(2027, 3, 1))
    assert Reading.objects.get(pk=reading.pk).overdue


def test_every_overdue_instrument_of_the_kind_is_warned_of(client_in: Any, bench: Any, kettle: str) -> None:
    factories.InstrumentFactory(kind="EARTH", name="Second meter", calibration_due_on="2020-03-01")
    page = client_in.get(f"/machines/{kettle}/cards/safe-to-power/?item=earth").content.decode()
    assert "Second meter: calibration was due 1 March 2020." in page
