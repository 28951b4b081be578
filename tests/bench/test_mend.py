"""Mend and reseal: findings, seals, the case, and what the page refuses."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from intake import services as intake
from intake.models import Finding, Purchase
from intake.words import FindingEnd
from tests.bench import factories
from tests.conftest import NOON
from workshop.bench import stations
from workshop.bench.models import CaseOpening, SealWork, WorkDone
from workshop.bench.services import mend, work
from workshop.bench.undo import UNDO
from workshop.core.acts import Odd, Refused
from workshop.core.models import JournalEntry
from workshop.parts import services as parts
from workshop.parts.models import Part


@pytest.fixture
def group_seal(bench: Any) -> Any:
    return factories.SealPositionFactory(notes=bench.job.machine.notes, size="8.5 mm")


@pytest.fixture
def joints(bench: Any) -> Any:
    return factories.SealPositionFactory(
        notes=bench.job.machine.notes, name="Boiler joints", wears=False, is_group=False
    )


def missing(bench: Any) -> list[str]:
    return [u.sentence for u in stations.MEND.unmet(stations.MEND.facts([bench.job.pk])[bench.job.pk])]


# --- seals -----------------------------------------------------------------------------------------------


def test_each_wear_seal_is_answered_inside_seals_in_one_press(bench: Any, group_seal: Any, joints: Any) -> None:
    assert missing(bench) == [
        "Group seal has no answer: changed or kept?",
        "Say that the inside seals were not disturbed, or changed.",
    ]
    mend.answer_seal(bench.act(at=bench.now()), bench.job, group_seal, end="KEPT", why="soft, no crack")
    mend.leave_inside_seals(bench.act(at=bench.now()), bench.job)
    assert missing(bench) == []
    assert SealWork.objects.get(position=joints).end == "NOT_DISTURBED"
    with pytest.raises(Refused, match="has its answer already"):
        mend.leave_inside_seals(bench.act(at=bench.now()), bench.job)


def test_seals_answered_in_one_press_are_taken_back_in_one(bench: Any, group_seal: Any, joints: Any) -> None:
    kept = mend.keep_other_seals(bench.act(at=bench.now()), bench.job, why="soft, no crack")
    left = mend.leave_inside_seals(bench.act(at=bench.now()), bench.job)
    assert (kept.sentence, left.sentence) == (
        "Kept 1 wear seal: soft, no crack",
        "Left 1 inside seal undisturbed",
    )
    for entry in (kept, left):
        UNDO[entry.verb](bench.act(at=bench.now()), entry)
    assert len(missing(bench)) == 2
    mend.answer_seal(bench.act(at=bench.now()), bench.job, group_seal, end="KEPT", why="new last month")
    assert len(missing(bench)) == 1


def test_a_new_seal_taken_back_puts_its_part_back(bench: Any, joints: Any) -> None:
    parts.add_part(bench.act(), name="Joint", size="", material="", supplier="", qty=2, cost_minor=100)
    part = Part.objects.get()
    entry = mend.answer_seal(bench.act(at=bench.now()), bench.job, joints, end="CHANGED", part=part)
    assert parts.stock_of(part) == (1, 100)
    UNDO["answer_seal"](bench.act(at=bench.now()), entry)
    assert parts.stock_of(part) == (2, 200)
    assert not bench.facts.full


def test_a_part_taken_for_the_machine_today_is_asked_about_before_it_is_taken_again(bench: Any, joints: Any) -> None:
    parts.add_part(bench.act(), name="Joint", size="", material="", supplier="", qty=5, cost_minor=100)
    part = Part.objects.get()
    mend.answer_seal(bench.act(at=bench.now()), bench.job, joints, end="CHANGED", part=part)
    again = {"station": "MEND", "what": "joint", "minutes": 5, "part": part}
    with pytest.raises(Odd, match="taken for the same machine today") as asked:
        work.add_work(bench.act(at=bench.now()), bench.job, **again)
    assert (asked.value.field, parts.stock_of(part)) == ("part", (4, 400))
    work.add_work(bench.act(at=bench.now()), bench.job, **again, sure=asked.value.about)
    assert parts.stock_of(part) == (3, 300)
    other = factories.KettleJobFactory()
    work.add_work(bench.act(at=bench.now()), other, **again)
    next_day = bench.act(at=bench.now() + timedelta(days=1))
    work.add_work(next_day, bench.job, **again)
    assert parts.stock_of(part) == (1, 100)


def test_the_mend_page_asks_about_a_part_and_counts_the_seals_as_work(
    client_in: Any, kettle: str, bench: Any, joints: Any
) -> None:
    parts.add_part(bench.act(), name="Joint", size="", material="", supplier="", qty=5, cost_minor=100)
    part = Part.objects.get()
    assert "No work noted." in client_in.get(f"/machines/{kettle}/mend/").content.decode()
    answer = {"end": "CHANGED", "part": part.pk}
    for expected in (302, 422):
        response = client_in.post(f"/machines/{kettle}/mend/seals/{joints.pk}/", answer)
        assert response.status_code == expected
    page = response.content.decode()
    assert "Yes, another one: save the answer" in page
    assert f'name="sure" value="another {part.pk}"' in page
    sure = {**answer, "sure": f"another {part.pk}"}
    assert client_in.post(f"/machines/{kettle}/mend/seals/{joints.pk}/", sure).status_code == 302
    assert "No work noted but the seals above." in client_in.get(f"/machines/{kettle}/mend/").content.decode()


def test_shutting_the_case_is_taken_back_until_something_was_read(bench: Any) -> None:
    bench.open_case()
    entry = bench.shut_case()
    UNDO["shut_case"](bench.act(at=bench.now()), entry)
    assert bench.facts.case_open
    with pytest.raises(Refused, match="open already"):
        UNDO["shut_case"](bench.act(at=bench.now()), entry)
    again = bench.shut_case()
    bench.read("visual")
    with pytest.raises(Refused, match="Something was read since"):
        UNDO["shut_case"](bench.act(at=bench.now()), again)
    assert not bench.facts.case_open


def test_a_seal_that_is_kept_says_why(bench: Any, group_seal: Any) -> None:
    with pytest.raises(Refused, match="Say why it was kept") as refused:
        mend.answer_seal(bench.act(), bench.job, group_seal, end="KEPT")
    assert refused.value.field == "why"
    assert not SealWork.objects.exists()


def test_a_kept_seal_is_journalled_with_its_reason(bench: Any, group_seal: Any) -> None:
    entry = mend.answer_seal(bench.act(), bench.job, group_seal, end="KEPT", why="soft, no crack")
    assert entry.sentence.endswith("ept, because soft, no crack")


def test_a_new_group_seal_wants_its_lock_in_position(bench: Any, group_seal: Any, joints: Any) -> None:
    with pytest.raises(Refused, match="note where it points") as refused:
        mend.answer_seal(bench.act(), bench.job, group_seal, end="CHANGED")
    assert refused.value.field == "lock_in_clock"
    mend.answer_seal(bench.act(), bench.job, joints, end="CHANGED")
    assert SealWork.objects.count() == 1


def test_the_newest_answer_of_a_seal_counts(bench: Any, group_seal: Any) -> None:
    mend.answer_seal(bench.act(at=bench.now()), bench.job, group_seal, end="KEPT", why="soft")
    mend.answer_seal(bench.act(at=bench.now()), bench.job, group_seal, end="CHANGED", lock_in_clock="half past 6")
    facts = stations.MEND.facts([bench.job.pk])[bench.job.pk]
    assert facts.answers[group_seal.pk].end == "CHANGED"


# --- the case --------------------------------------------------------------------------------------------


def test_the_case_is_opened_once_and_shut_once(bench: Any) -> None:
    bench.open_case()
    with pytest.raises(Refused, match="open already"):
        bench.open_case()
    bench.shut_case()
    with pytest.raises(Refused, match="shut already"):
        bench.shut_case()
    assert CaseOpening.objects.count() == 1


@pytest.mark.parametrize(("blocks_work", "refused"), [(True, True), (False, False)])
def test_a_hold_that_forbids_work_keeps_the_case_shut(bench: Any, blocks_work: bool, refused: bool) -> None:
    Purchase.objects.create(
        job=bench.job, price_minor=1, acquired_on=date(2026, 5, 5), hold_until_on=date(2026, 5, 20),
        hold_blocks_work=blocks_work, hold_words="As received.",
    )  # fmt: skip
    if refused:
        with pytest.raises(Refused, match="the law forbids opening it before"):
            bench.open_case()
    else:
        bench.open_case()
    assert CaseOpening.objects.exists() is not refused


def test_undoing_an_opened_case_shuts_it_and_once_shut_there_is_nothing_to_undo(bench: Any) -> None:
    entry = bench.open_case()
    UNDO["open_case"](bench.act(at=bench.now()), entry)
    assert CaseOpening.objects.get().shut_at is not None
    with pytest.raises(Refused, match="shut since"):
        UNDO["open_case"](bench.act(at=bench.now()), entry)


# --- work and findings -----------------------------------------------------------------------------------


def test_work_is_noted_with_minutes_and_taken_back_once(bench: Any) -> None:
    entry = work.add_work(bench.act(), bench.job, station="MEND", what="Cleaned the valve", minutes=25, part=None)
    UNDO["add_work"](bench.act(at=bench.now()), entry)
    assert WorkDone.objects.get().struck_at is not None
    with pytest.raises(Refused, match="taken back already"):
        UNDO["add_work"](bench.act(at=bench.now()), entry)


def test_every_finding_wants_an_end(bench: Any) -> None:
    finding = Finding.objects.create(job=bench.job, words="Pump hums", by=bench.act().by, at=NOON)
    assert missing(bench) == ["“Pump hums” has no end: mended, not seen again, or left?"]
    intake.end_finding(bench.act(at=bench.now()), finding, FindingEnd.MENDED, "new pump mounts")
    assert missing(bench) == []


# --- the page --------------------------------------------------------------------------------------------


def test_lock_in_words_are_read_like_a_clock(client_in: Any, kettle: str, group_seal: Any) -> None:
    url = f"/machines/{kettle}/mend/seals/{group_seal.pk}/"
    assert client_in.post(url, {"end": "CHANGED", "lock_in_clock": "sideways"}).status_code == 422
    assert not SealWork.objects.exists()
    assert client_in.post(url, {"end": "CHANGED", "lock_in_clock": "6:30"}).status_code == 302
    assert SealWork.objects.get().lock_in_clock == "half past 6"


@pytest.mark.parametrize(
    ("path", "data"),
    [
        ("seals/{seal}/", {"end": "KEPT", "why": ""}),
        ("seals/{seal}/", {"end": "GLUED"}),
        ("seals/keep/", {"keep-why": ""}),
        ("work/", {"station": "MEND", "what": "", "minutes": "5"}),
        ("work/", {"station": "MEND", "what": "Pump", "minutes": "-5"}),
        ("case/open/", {"why": ""}),
        ("case/shut/", {}),
    ],
)
def test_bad_input_is_refused_and_stores_nothing(
    client_in: Any, kettle: str, group_seal: Any, path: str, data: Any
) -> None:
    response = client_in.post(f"/machines/{kettle}/mend/{path.format(seal=group_seal.pk)}", data)
    assert response.status_code == 422
    assert "Error: " in response.content.decode()
    assert not JournalEntry.objects.exists()


def test_a_worn_ring_is_matched_against_the_sizes(client_in: Any, kettle: str) -> None:
    # AS568-112: 12.37 x 2.62 mm (as568.csv)
    worn = {"id_mm": "12.4", "section_a_mm": "2.6", "section_b_mm": "2.6"}
    page = client_in.get(f"/machines/{kettle}/mend/ring/", worn)
    assert page.status_code == 200
    assert "AS568 112" in page.content.decode().replace("-", " ")
    assert client_in.get(f"/machines/{kettle}/mend/ring/", worn | {"id_mm": "wide"}).status_code == 422


def test_the_page_takes_the_same_queries_at_one_row_and_at_thirty(
    client_in: Any, kettle: str, bench: Any, group_seal: Any
) -> None:
    def once(number: int) -> None:
        work.add_work(bench.act(at=bench.now()), bench.job, station="MEND", what="Brushed", minutes=1, part=None)
        Finding.objects.create(job=bench.job, words=f"Fault {number}", by=bench.act().by, at=NOON)
        mend.answer_seal(bench.act(at=bench.now()), bench.job, group_seal, end="KEPT", why="soft")

    once(0)
    few = _queries(client_in, kettle)
    for number in range(1, 30):
        once(number)
    assert _queries(client_in, kettle) == few


def _queries(client: Any, kettle: str) -> int:
    with CaptureQueriesContext(connection) as captured:
        assert client.get(f"/machines/{kettle}/mend/").status_code == 200
    return len(captured)
