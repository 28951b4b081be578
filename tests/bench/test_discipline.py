"""A place kept and come back to, the quiet question on tempo, the fork, and a recall."""

import re
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from intake.models import RecallCheck
from tests.conftest import NOON
from workshop.bench import card_items, card_lists, pauses, stops, tempo
from workshop.bench.models import Pause, TempoAnswer
from workshop.bench.services import pauses as pause_services
from workshop.bench.services import prove
from workshop.bench.services.tempo import looked_at
from workshop.bench.undo import UNDO
from workshop.core.acts import Refused
from workshop.core.models import JournalEntry, Reading


def text(html: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))


def page(client: Any, kettle: str, path: str = "") -> str:
    return str(client.get(f"/machines/{kettle}/{path}").content.decode())


# --- pause here --------------------------------------------------------------------------------------------


def test_one_press_keeps_the_place_and_three_pages_say_so(client_in: Any, kettle: str, bench: Any) -> None:
    bench.read("case_shut")
    for _ in range(2):
        response = client_in.post(f"/machines/{kettle}/cards/safe-to-power/earth/pause/", {"key": "k1"})
    assert response.url == f"/machines/{kettle}/"
    said = r"Paused at Earth path, plug to metal by Ana, \d\d:\d\d"
    assert Pause.objects.count() == 1
    assert re.search(said, text(page(client_in, kettle)))
    assert re.search(said, text(client_in.get("/bench/").content.decode()))
    card = page(client_in, kettle, "cards/safe-to-power/")
    assert re.search(said, text(card))
    assert "Last done: Case shut, all screws in: shut, all screws in" in text(card)
    assert 'name="value"' not in card


def come_back(client: Any, kettle: str, still: str) -> Any:
    data = {"still": still, "version": Pause.objects.latest("pk").pk}
    return client.post(f"/machines/{kettle}/cards/safe-to-power/come-back/", data)


def test_on_coming_back_a_yes_goes_on(client_in: Any, kettle: str, bench: Any) -> None:
    bench.read("case_shut")
    pause_services.pause(bench.act(at=bench.now()), bench.job, "visual")
    assert come_back(client_in, kettle, "yes").url == f"/machines/{kettle}/cards/safe-to-power/"
    assert pauses.standing([bench.job.pk]) == {}
    assert "Paused at" not in page(client_in, kettle, "cards/safe-to-power/")


def test_a_no_leads_to_that_item_to_be_measured_again_or_taken_back(client_in: Any, kettle: str, bench: Any) -> None:
    bench.read("case_shut")
    pause_services.pause(bench.act(at=bench.now()), bench.job, "visual")
    where = come_back(client_in, kettle, "no").url
    assert where == f"/machines/{kettle}/cards/safe-to-power/?item=case_shut&again=1&not_so=1"
    shown = client_in.get(where).content.decode()
    assert "It is not so any more: measure it again, or take it back below." in shown
    assert 'name="answer"' in shown
    assert "Undo" in shown


def test_anybody_may_come_back_and_only_once(technician_in: Any, kettle: str, bench: Any) -> None:
    pause_services.pause(bench.act(at=bench.now()), bench.job, "visual")
    kept = Pause.objects.get()
    assert "Nothing was recorded on this card yet." in page(technician_in, kettle, "cards/safe-to-power/")
    assert come_back(technician_in, kettle, "yes").status_code == 302
    with pytest.raises(Refused, match="came back to this place before you"):
        pause_services.come_back(bench.act(at=bench.now()), bench.job, seen=kept.pk, still_so=True)


def test_coming_back_without_an_answer_stores_nothing(client_in: Any, kettle: str, bench: Any) -> None:
    pause_services.pause(bench.act(at=bench.now()), bench.job, "visual")
    response = client_in.post(f"/machines/{kettle}/cards/safe-to-power/come-back/", {"version": 1})
    assert response.status_code == 422
    assert "Say whether it is still so." in response.content.decode()
    assert Pause.objects.count() == 1


def test_a_pause_and_a_return_are_undone(bench: Any) -> None:
    entry = pause_services.pause(bench.act(at=bench.now()), bench.job, "visual")
    back = pause_services.come_back(bench.act(at=bench.now()), bench.job, seen=Pause.objects.get().pk, still_so=True)
    UNDO["come_back"](bench.act(at=bench.now()), back)
    assert bench.job.pk in pauses.standing([bench.job.pk])
    UNDO["pause"](bench.act(at=bench.now()), entry)
    assert pauses.standing([bench.job.pk]) == {}


def test_the_day_is_said_when_it_was_not_today(bench: Any) -> None:
    pause_services.pause(bench.act(at=NOON), bench.job, "visual")
    said = pauses.words(Pause.objects.get(), NOON.date() + timedelta(days=1))
    assert said == "Paused at Plug, fuse, cord and case by Ana, 12 May 12:00"


# --- the tempo ---------------------------------------------------------------------------------------------


def answer_fast(bench: Any, every_s: int) -> None:
    for n, code in enumerate(("case_shut", "visual")):
        prove.read(bench.act(at=NOON + timedelta(seconds=n * every_s)), bench.job, code, prove.Typed(answer="good"))
    earth = prove.Typed(value=Decimal("0.09"))
    prove.read(bench.act(at=NOON + timedelta(seconds=2 * every_s)), bench.job, "earth", earth)


@pytest.mark.parametrize(("every_s", "asked"), [(3, True), (4, False)])
def test_fast_answers_raise_one_quiet_question(bench: Any, every_s: int, asked: bool) -> None:
    answer_fast(bench, every_s)
    words = [each.question for each in tempo.questions(bench.job, bench.facts)]
    assert words == (
        ["Three answers on Safe to power were given in 6 s, until 12:00. Were they looked at?"] if asked else []
    )
    assert Reading.objects.count() == 3  # no single reading is held up
    assert not [code for code in bench.missing if "tempo" in code]


def test_fast_answers_of_two_people_are_nobodys_hurry(bench: Any, technician: Any) -> None:
    for n, (code, by) in enumerate((("case_shut", None), ("visual", technician), ("visual", None))):
        act = bench.act(at=NOON + timedelta(seconds=n), by=by)
        prove.read(act, bench.job, code, prove.Typed(answer="good"))
    assert tempo.questions(bench.job, bench.facts) == []


def test_the_word_that_they_were_looked_at_is_kept_with_who(client_in: Any, kettle: str, bench: Any) -> None:
    answer_fast(bench, 2)
    last = Reading.objects.latest("pk").pk
    assert "Were they looked at?" in page(client_in, kettle, "prove/")
    for _ in range(2):
        assert client_in.post(f"/machines/{kettle}/prove/looked-at/{last}/", {"key": "k"}).status_code == 302
    assert TempoAnswer.objects.count() == 1
    assert "They were looked at, says Ana." in page(client_in, kettle, "prove/")
    assert client_in.post(f"/machines/{kettle}/prove/looked-at/{last}/").status_code == 422
    entry = JournalEntry.objects.get(verb="looked_at")
    UNDO["looked_at"](bench.act(at=bench.now()), entry)
    assert tempo.questions(bench.job, bench.facts)[0].answer == ""


def test_answers_nobody_asks_about_take_no_word(bench: Any) -> None:
    reading = bench.read("visual")
    with pytest.raises(Refused, match="Nobody asks"):
        looked_at(bench.act(at=bench.now()), bench.job, reading.pk)


# --- the fork and the buttons ------------------------------------------------------------------------------


def test_a_failed_stop_item_is_a_fork_with_its_tag(client_in: Any, kettle: str, bench: Any) -> None:
    bench.read("earth", "0.5")
    shown = page(client_in, kettle, "cards/safe-to-power/?item=earth")
    assert [words in shown for words in ("Mend it, then measure again", "Stop the unit")] == [True, True]
    assert f'href="/machines/{kettle}/do-not-use/"' in shown
    assert "Leave it, tell the buyer" not in shown


def test_another_failed_item_may_be_left_and_told(client_in: Any, kettle: str, bench: Any) -> None:
    bench.make_safe()
    bench.read("pressure", "7.9")
    shown = page(client_in, kettle, "cards/water/?item=pressure")
    assert "Leave it, tell the buyer" in shown
    assert "Stop the unit" not in shown


def test_good_comes_first_and_the_two_words_begin_unlike(bench: Any) -> None:
    seen = [item for card in card_lists.every_card() for item in card.items if item.seen]
    assert len(seen) == 12
    for item in seen:
        good, bad = item.answers
        assert (good.passed, bad.passed) == (True, False)
        assert good.label[0] != bad.label[0], item.title


def test_the_bad_answer_is_outlined_and_over_range_stands_beside_the_box(
    client_in: Any, kettle: str, bench: Any
) -> None:
    seen = page(client_in, kettle, "cards/safe-to-power/?item=visual")
    assert re.search(r'class="button" type="submit" name="answer" value="good"', seen)
    assert re.search(r'class="button-plain" type="submit" name="answer" value="bad"', seen)
    earth = page(client_in, kettle, "cards/safe-to-power/?item=earth")
    assert earth.index('name="sign"') < earth.index("Record this reading")


def test_every_item_says_which_failure_put_it_there(bench: Any) -> None:
    items = [item for card in card_items.cards_for(bench.facts.unit) for item in card.items]
    items += [item for card in card_lists.every_card() for item in card.items]
    assert [item.code for item in items if not item.why or len(item.why.split()) > 20] == []


# --- a recall ----------------------------------------------------------------------------------------------


def look_up(bench: Any, found: str) -> None:
    RecallCheck.objects.create(
        job=bench.job, looked_on=NOON.date(), registers=[], found=found, by=bench.act().by, at=bench.now()
    )


def test_a_recalled_machine_stays_unplugged_until_it_is_settled(bench: Any, client_in: Any, kettle: str) -> None:
    bench.make_safe()
    look_up(bench, "RECALLED")
    assert not bench.facts.safe
    with pytest.raises(Refused, match="on a recall list"):
        bench.read("leak_hot")
    with pytest.raises(Refused, match="on a recall list"):
        bench.pull("12", "27")
    (stop,) = stops.stops([bench.job.pk], NOON.date())[bench.job.pk]
    assert stop.words == "It is on a recall list: it stays unplugged until the recall is settled."
    shown = page(client_in, kettle, "cards/water/?item=leak_hot")
    assert f"/machines/{kettle}/intake/#recall" in shown
    look_up(bench, "NOTHING")
    assert bench.facts.safe
    assert stops.stops([bench.job.pk], NOON.date())[bench.job.pk] == []
