"""Times that hardly can be are asked about beside the sign-off, one question a fact, and stop nothing."""

from datetime import timedelta
from typing import Any

import pytest

from workshop.bench import tempo
from workshop.bench.models import TempoAnswer
from workshop.bench.services import basis, prove, work
from workshop.bench.services import tempo as services
from workshop.core.acts import Refused


def asked(bench: Any) -> list[str]:
    return [each.question for each in tempo.questions(bench.job, bench.facts) if not each.answer]


@pytest.mark.parametrize(("after_min", "words"), [(1, "1\u00a0min"), (29, "29\u00a0min"), (30, ""), (45, "")])
def test_a_hot_leak_sooner_than_half_an_hour_after_first_power_is_asked_about(
    bench: Any, after_min: int, words: str
) -> None:
    bench.make_safe()
    bench.minutes += after_min - 1
    assert bench.read("leak_hot").outcome == "PASS"
    sentence = f"Leak after 30 minutes hot was read {words} after it could first be powered."
    assert asked(bench) == ([f"{sentence} Was it hot for 30\u00a0min?"] if words else [])


def test_the_clock_starts_anew_once_the_case_was_shut_again(bench: Any) -> None:
    bench.make_safe()
    bench.minutes += 60
    bench.open_case()
    bench.shut_case()
    bench.make_safe()
    bench.read("leak_hot")
    assert len(asked(bench)) == 1


def test_reading_earth_once_more_does_not_start_it_anew(bench: Any) -> None:
    bench.make_safe()
    bench.minutes += 30
    bench.read("earth", "0.1")
    bench.read("leak_hot")
    assert asked(bench) == []


def test_hot_insulation_and_the_leak_are_two_questions_answered_each_by_itself(bench: Any) -> None:
    basis.ask_full_set(bench.act(at=bench.now()), bench.job, because="it goes to a café")
    bench.make_safe()
    bench.read("leak_hot")
    bench.read("insulation_hot", "8", test_volts=500)
    leak, hot = tempo.questions(bench.job, bench.facts)
    assert tempo.head([leak, hot]) == "2 questions first"
    services.looked_at(bench.act(at=bench.now()), bench.job, leak.last_pk)
    leak, hot = tempo.questions(bench.job, bench.facts)
    assert leak.answer == "It was hot for 30\u00a0min, says Ana."
    assert hot.answer == ""
    assert tempo.head([leak, hot]) == "One question first"
    assert TempoAnswer.objects.count() == 1
    with pytest.raises(Refused, match="Nobody asks"):
        services.looked_at(bench.act(at=bench.now()), bench.job, leak.last_pk)


@pytest.mark.parametrize(("after_min", "soon"), [(0.02, True), (59, True), (60, False)])
def test_a_second_heat_cycle_sooner_than_an_hour_is_asked_about(bench: Any, after_min: float, soon: bool) -> None:
    work.add_work(bench.act(at=bench.now()), bench.job, station="MEND", what="New pump", minutes=5, part=None)
    bench.make_safe()
    first = bench.read("heat_cycle_1")
    at = first.at + timedelta(minutes=after_min)
    prove.read(bench.act(at=at), bench.job, "heat_cycle_2", prove.Typed(answer="good"))
    assert bool(asked(bench)) is soon
    if soon:
        assert asked(bench)[0].endswith("after the first. Was it fully cold between them?")


def test_a_rush_that_ends_with_the_leak_is_asked_about_beside_its_time(bench: Any) -> None:
    bench.make_safe()
    at = bench.now()
    for n, code in enumerate(("drip_cold", "relief", "leak_hot")):
        prove.read(bench.act(at=at + timedelta(seconds=n)), bench.job, code, prove.Typed(answer="good"))
    rush, soon = tempo.questions(bench.job, bench.facts)
    assert rush.last_pk != soon.last_pk
    services.looked_at(bench.act(at=bench.now()), bench.job, rush.last_pk)
    assert [each.answer for each in tempo.questions(bench.job, bench.facts)] == ["They were looked at, says Ana.", ""]


def test_one_rush_is_one_question(bench: Any) -> None:
    at = bench.now()
    for second in (0, 3, 6, 12, 15, 18):
        prove.read(bench.act(at=at + timedelta(seconds=second)), bench.job, "plate_volts", prove.Typed(answer="good"))
    (rush,) = tempo.questions(bench.job, bench.facts)
    assert rush.words == "Six answers on Before the lid were given in 18 s, until 12:01."


def test_the_page_counts_its_questions_and_stops_nothing(bench: Any, client_in: Any, kettle: str) -> None:
    bench.make_safe()
    bench.read("leak_hot")
    page = client_in.get(f"/machines/{kettle}/prove/").content.decode()
    assert "One question first" in page
    assert "Yes, it was" in page
    assert not [code for code in bench.missing if "leak" in code]
