"""Earlier units of the same model beside the shots of this one."""

from decimal import Decimal
from typing import Any

import pytest

from tests.bench.factories import KettleJobFactory, ShotFactory
from tests.conftest import NOON
from workshop.bench import earlier, pages_next
from workshop.bench.models import Recipe
from workshop.core.models import Job


@pytest.fixture
def safe(bench: Any) -> Any:
    bench.make_safe()
    return bench


def left_at(bench: Any, setting: int, *, notes: Any = None) -> Recipe:
    """Lay an earlier unit that was dialled in and left at a setting."""
    job = KettleJobFactory(machine__notes=notes or bench.job.machine.notes)
    rows = [(setting + 5, 14), (setting, 27), (setting, 28)]
    _, first, second = (
        ShotFactory(job=job, number=at, setting=Decimal(mark), setting_words=str(mark), time_s=Decimal(s))
        for at, (mark, s) in enumerate(rows, 1)
    )
    grams = {"dose_g": 17, "dose_tolerance_g": 1, "yield_g": 35, "yield_low_g": 31, "yield_high_g": 38}
    times = {"time_s": 28, "first_time_s": 27, "time_low_s": 24, "time_high_s": 31}
    made = {"set_at": NOON, "set_by": first.by, **grams, **times}
    return Recipe.objects.create(job=job, first_shot=first, second_shot=second, **made)


def seen(bench: Any) -> Any:
    job = Job.objects.select_related("machine__notes").get(pk=bench.job.pk)
    return earlier.with_earlier(bench.facts.dial_in, job)


def test_the_first_shot_begins_where_the_last_three_of_the_model_were_left(safe: Any) -> None:
    for setting in (6, 8, 7):
        left_at(safe, setting)
    found = pages_next.next_try(seen(safe))
    assert found.head == "Grinder at 7"
    assert found.why == "We left the last 3 of this model at 6 to 8: start here."


def test_after_one_shot_it_says_on_what_the_step_leans(safe: Any) -> None:
    safe.pull("12", "15")
    assert "leans on grinders at large" in pages_next.next_try(seen(safe)).note
    left_at(safe, 7)
    assert "leans on 1 earlier unit of this model" in pages_next.next_try(seen(safe)).note
    safe.pull("8", "24")
    assert "leans" not in pages_next.next_try(seen(safe)).note


def test_other_models_and_recipes_taken_back_teach_nothing(safe: Any) -> None:
    left_at(safe, 20, notes=KettleJobFactory().machine.notes)
    struck = left_at(safe, 3)
    Recipe.objects.filter(pk=struck.pk).update(struck_at=NOON, struck_by=struck.set_by)
    assert seen(safe).earlier == ()


def test_thirty_earlier_units_take_the_queries_of_one_and_the_newest_twenty_count(
    safe: Any, django_assert_num_queries: Any
) -> None:
    left_at(safe, 7)
    facts, job = safe.facts.dial_in, Job.objects.select_related("machine__notes").get(pk=safe.job.pk)
    with django_assert_num_queries(3):
        earlier.with_earlier(facts, job)
    for _ in range(29):
        left_at(safe, 9)
    with django_assert_num_queries(3):
        found = earlier.with_earlier(facts, job).earlier
    assert [unit.left for unit in found] == [9] * 20


def test_each_setting_is_told_in_words_finer_first(safe: Any) -> None:
    assert pages_next.chances(seen(safe)) == []
    safe.pull("15", "19")
    safe.pull("9", "36")
    rows = pages_next.chances(seen(safe))
    assert [row.setting for row in rows] == sorted((row.setting for row in rows), key=int)
    assert [row.to_try for row in rows].count(True) == 1
    assert all(row.about.startswith("about ") and row.odds for row in rows)
    assert {row.pulled for row in rows} <= {"never", "once"}


def test_a_shot_the_others_speak_against_is_named(safe: Any) -> None:
    for setting, seconds in (("15", "20"), ("12", "27"), ("12", "27.5"), ("12", "12"), ("11", "29")):
        safe.pull(setting, seconds)
    words = pages_next.contradiction(seen(safe))
    assert words.startswith("Shot 4 ran 12 s where about ")


def test_a_dose_that_was_off_is_put_right_before_the_grinder_is_touched(safe: Any) -> None:
    safe.pull("15", "20")
    safe.pull("12", "34", dose="19.5")
    found = pages_next.next_try(seen(safe))
    assert found.head.startswith("Grinder at 12")
    assert found.why == "The grinder is right: put the dose right and pull it again."


def test_the_page_shows_each_setting(client_in: Any, kettle: str, safe: Any) -> None:
    safe.pull("15", "19")
    page = client_in.get(f"/machines/{kettle}/shots/").content.decode()
    assert "Each setting" in page
    assert "next to try" in page
