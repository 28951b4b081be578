"""The as-found card at the bench: what a machine has, what waits for safe to power, and its pages."""

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from intake.models import AsFound, Bag, Finding, SeenRunning
from intake.words import AsFoundAnswer, AsFoundItem
from tests.bench import factories
from tests.conftest import NOON
from tests.intake.factories import AsFoundFactory, PurchaseFactory, SeenRunningFactory
from workshop.bench import as_found, as_found_items, stations, stops
from workshop.bench.facts.prove import ItemState
from workshop.bench.services import as_found as services
from workshop.core.acts import Refused
from workshop.core.models import ModelNotes

MAINS = ["powers", "heats", "pump", "leaks-hot", "steam", "hot-water", "gauge", "grinder"]
COLD = ["vermin", "smells", "leaks-cold", "buttons", "gauge-rest"]
WORKS, FAULT = AsFoundAnswer.WORKS, AsFoundAnswer.FAULT


def codes(**notes: Any) -> list[str]:
    return [item.code.value for item in as_found_items.items_for(ModelNotes(**{"kind": "HEAT_EXCHANGER", **notes}))]


def html(response: Any) -> str:
    return re.sub(r"[ \n\t]+", " ", response.content.decode())


def card(client: Client, kettle: str, query: str = "") -> str:
    return html(client.get(f"/machines/{kettle}/as-found/{query}"))


def press(client: Client, kettle: str, item: str, answer: str = "WORKS", words: str = "") -> Any:
    return client.post(f"/machines/{kettle}/as-found/{item}/answer/", {"answer": answer, "words": words})


# --- which items -----------------------------------------------------------------------------------------


def test_every_item_has_its_words_and_the_card_names_each_once() -> None:
    assert [item.code for item in as_found_items.ITEMS] == list(AsFoundItem)
    assert set(as_found_items.NAMED) == set(AsFoundItem)
    assert [item.code.value for item in as_found_items.ITEMS if item.needs_mains] == MAINS


def test_a_machine_with_everything_is_asked_everything_unplugged_first() -> None:
    assert codes(has_gauge=True, has_grinder=True) == [*COLD, *MAINS]


@pytest.mark.parametrize(
    ("notes", "left_out"),
    [
        ({"has_steam": False}, {"steam"}),
        ({"has_hot_water": False}, {"hot-water"}),
        ({"has_grinder": False}, {"grinder"}),
        ({"has_gauge": False}, {"gauge", "gauge-rest"}),
        ({"pump": "NONE", "kind": "LEVER"}, {"pump"}),
    ],
)
def test_what_the_notes_do_not_have_is_not_asked(notes: dict[str, Any], left_out: set[str]) -> None:
    asked = codes(**{"has_gauge": True, "has_grinder": True, **notes})
    assert set(COLD + MAINS) - set(asked) == left_out


def test_a_grinder_alone_is_asked_of_no_water_heat_or_steam() -> None:
    assert codes(kind="GRINDER", pump="NONE", has_gauge=False) == ["vermin", "smells", "buttons", "powers", "grinder"]


def test_what_the_model_notes_name_comes_first_in_its_half_but_never_before_vermin_or_mould() -> None:
    note = "Usual: the pump primes badly, the tank valve drips. Steam is weak."
    asked = codes(has_gauge=True, has_grinder=True, note=note)
    assert asked[:2] == ["vermin", "leaks-cold"]
    assert asked[5:8] == ["pump", "leaks-hot", "steam"]


# --- mains waits for safe to power -----------------------------------------------------------------------


@pytest.mark.parametrize("code", ["powers", "heats", "pump", "leaks-hot", "steam", "hot-water", "grinder"])
@pytest.mark.parametrize("pressed", list(AsFoundAnswer))
def test_nothing_that_needs_mains_is_answered_before_it_is_safe_to_power(bench: Any, code: str, pressed: Any) -> None:
    with pytest.raises(Refused, match="Not safe to power yet"):
        services.answer(bench.act(), bench.job, code, pressed=pressed, words="")
    assert not AsFound.objects.exists()


def test_safe_to_power_opens_the_rest_and_an_open_case_shuts_it_again(bench: Any) -> None:
    bench.make_safe()
    services.answer(bench.act(), bench.job, "heats", pressed=WORKS, words="")
    bench.open_case()
    with pytest.raises(Refused, match="Shut the case"):
        services.answer(bench.act(), bench.job, "pump", pressed=WORKS, words="")
    assert [row.item for row in AsFound.objects.current()] == ["heats"]


def test_the_card_asks_the_unplugged_ones_only_and_says_why_the_rest_waits(client_in: Any, kettle: str) -> None:
    for code in ("vermin", "smells", "leaks-cold", "buttons"):
        shown = card(client_in, kettle)
        assert f"/as-found/{code}/answer/" in shown
        assert press(client_in, kettle, code).url == f"/machines/{kettle}/as-found/"
    done = card(client_in, kettle)
    assert "Unplugged: all answered" in done
    assert "4 of 4 answered" in done
    assert "These need mains, so nobody is asked yet. Not safe to power yet. With the plug out, first:" in done
    assert "/answer/" not in done
    assert "?item=heats" not in done


def test_an_item_with_mains_asked_for_by_hand_shows_why_not_and_no_button(client_in: Any, kettle: str) -> None:
    shown = card(client_in, kettle, "?item=heats")
    assert "Not yet" in shown
    assert f'href="/machines/{kettle}/cards/before-lid/"' in shown
    assert "/answer/" not in shown
    refused = press(client_in, kettle, "heats", words="hums")
    assert refused.status_code == 422
    assert not AsFound.objects.exists()


def test_once_safe_to_power_the_card_goes_on_with_mains(client_in: Any, kettle: str, bench: Any) -> None:
    for code in ("vermin", "smells", "leaks-cold", "buttons"):
        press(client_in, kettle, code)
    bench.make_safe()
    assert "/as-found/powers/answer/" in card(client_in, kettle)
    for code in ("powers", "heats", "pump", "leaks-hot", "steam", "hot-water", "grinder"):
        assert press(client_in, kettle, code).status_code == 302
    assert "As found: all answered" in card(client_in, kettle)


# --- answers on the page ---------------------------------------------------------------------------------


def test_a_fault_with_a_few_words_is_a_finding_under_mend(client_in: Any, kettle: str) -> None:
    press(client_in, kettle, "buttons", "FAULT", "steam knob")
    assert Finding.objects.get().words == "A control sticks: steam knob"
    for page in ("mend/", "", "intake/"):
        assert "A control sticks: steam knob" in html(client_in.get(f"/machines/{kettle}/{page}"))


@pytest.mark.parametrize("typed", [{"answer": ""}, {"answer": "MAYBE"}, {"answer": "WORKS", "words": "x" * 121}])
def test_no_button_or_too_many_words_is_refused_and_what_was_typed_stays(
    client_in: Any, kettle: str, typed: dict[str, str]
) -> None:
    response = press(client_in, kettle, "buttons", **{"words": "left one", **typed})
    assert response.status_code == 422
    assert "<title>Error: Buttons" in html(response)
    assert f'value="{typed.get("words", "left one")}"' in html(response)
    assert not AsFound.objects.exists()


def test_an_item_the_machine_does_not_have_is_not_there(client_in: Any, kettle: str) -> None:
    assert press(client_in, kettle, "gauge").status_code == 404
    assert press(client_in, kettle, "spout").status_code == 404
    assert "/as-found/vermin/answer/" in card(client_in, kettle, "?item=spout")


def test_the_last_answer_can_be_undone_on_the_card(client_in: Any, kettle: str) -> None:
    press(client_in, kettle, "buttons", "FAULT")
    row = AsFound.objects.get()
    assert f"/as-found/answers/{row.pk}/strike/" in card(client_in, kettle)
    response = client_in.post(f"/machines/{kettle}/as-found/answers/{row.pk}/strike/")
    assert response.url == f"/machines/{kettle}/as-found/?item=buttons"
    assert not Finding.objects.exists()


def test_the_end_of_the_card_offers_nothing_found_only_where_nothing_was(client_in: Any, kettle: str) -> None:
    for code in ("vermin", "smells", "leaks-cold", "buttons"):
        press(client_in, kettle, code)
    assert "Nothing wrong was found" in card(client_in, kettle)
    press(client_in, kettle, "buttons", "FAULT")
    assert "Nothing wrong was found" not in card(client_in, kettle)


def test_the_one_press_way_past_the_card_stays_on_intake(client_in: Any, kettle: str) -> None:
    page = html(client_in.get(f"/machines/{kettle}/intake/"))
    assert "Nothing wrong was found</button>" in page
    assert f'href="/machines/{kettle}/as-found/"' in page


# --- the bag ---------------------------------------------------------------------------------------------


def test_a_bagged_machine_says_so_on_its_page_until_it_is_cleared(client_in: Any, kettle: str, bench: Any) -> None:
    press(client_in, kettle, "vermin", "FAULT", "in the tank")
    page = html(client_in.get(f"/machines/{kettle}/"))
    assert "Vermin or mould seen: in the tank. Keep it apart until somebody says that it is clean." in page
    empty = client_in.post(f"/machines/{kettle}/as-found/cleared/", {"words": ""})
    assert empty.status_code == 422
    assert "Say what was done: others rely on it." in html(empty)
    client_in.post(f"/machines/{kettle}/as-found/cleared/", {"words": "washed, dry for a week"})
    assert Bag.objects.get().cleared_words == "washed, dry for a week"
    assert stops.stops([bench.job.pk], NOON.date())[bench.job.pk] == []


# --- seen running at the seller's ------------------------------------------------------------------------


def test_seen_running_is_told_beside_each_item_and_on_the_machine_page(client_in: Any, kettle: str, bench: Any) -> None:
    PurchaseFactory(job=bench.job)
    response = client_in.post(
        f"/machines/{kettle}/as-found/seen-running/", {"items": ["heats", "pump"], "seen_on": "2026-05-02"}
    )
    assert response.status_code == 302
    page = html(client_in.get(f"/machines/{kettle}/"))
    assert "Seen running at the seller&#x27;s: heats, pumps" in page
    assert "Ana, 2 May 2026. It passes nothing." in page
    told = {row.item.code: row.seen for row in as_found.rows(bench.job) if row.seen}
    assert told == dict.fromkeys(("heats", "pump"), "seen running at the seller's, 2 May, Ana")


def test_seen_running_is_never_a_pass(bench: Any) -> None:
    missing = bench.missing
    services.note_seen_running(bench.act(), bench.job, MAINS[:4], seen_on=NOON.date())
    assert not bench.facts.safe
    assert {s.state for s in bench.facts.states.values()} == {ItemState.OPEN}
    assert bench.missing == missing
    assert [row.answer for row in as_found.rows(bench.job)] == [""] * len(as_found.rows(bench.job))
    with pytest.raises(Refused, match="Not safe to power yet"):
        services.answer(bench.act(), bench.job, "heats", pressed=WORKS, words="")


@pytest.mark.parametrize("typed", [{}, {"items": ["gauge"]}, {"items": ["vermin"]}, {"seen_on": "yesterday"}])
def test_seen_running_refuses_what_it_cannot_read(client_in: Any, kettle: str, typed: dict[str, Any]) -> None:
    data = {"seen_on": "2026-05-02", **({"items": ["heats"]} if "seen_on" in typed else {}), **typed}
    response = client_in.post(f"/machines/{kettle}/as-found/seen-running/", data)
    assert response.status_code == 422
    assert not SeenRunning.objects.exists()


def test_a_machine_that_came_back_was_seen_at_no_seller(client_in: Any, kettle: str, bench: Any) -> None:
    bench.job.kind = "CAME_BACK"
    bench.job.save()
    assert "seen-running" not in card(client_in, kettle)


# --- rows and cost ---------------------------------------------------------------------------------------


def test_rows_say_what_was_found_by_whom_and_when(bench: Any) -> None:
    services.answer(bench.act(), bench.job, "buttons", pressed=FAULT, words="steam knob")
    services.answer(bench.act(), bench.job, "smells", pressed=AsFoundAnswer.CANNOT_TELL, words="cold")
    rows = {row.item.code.value: row for row in as_found.rows(bench.job)}
    assert list(rows)[:4] == ["vermin", "smells", "leaks-cold", "buttons"]
    assert (rows["buttons"].answer, rows["buttons"].told) == ("FAULT", "Ana, 12 May")
    assert rows["buttons"].found == "A control sticks: steam knob"
    assert rows["smells"].found == "cannot tell yet: cold"
    assert (rows["heats"].answer, rows["heats"].found, rows["heats"].glyph) == ("", "", "open")


def test_the_card_costs_the_same_with_one_answer_and_with_all_and_thirty_sightings(
    client_in: Any, kettle: str, bench: Any, django_assert_num_queries: Any
) -> None:
    bench.make_safe()
    AsFoundFactory(job=bench.job)
    counts = []
    for page in ("as-found/?item=vermin", ""):
        with CaptureQueriesContext(connection) as few:
            client_in.get(f"/machines/{kettle}/{page}")
        counts.append(len(few))
    for code in ("smells", "leaks-cold", "buttons", "powers", "pump", "steam"):
        AsFoundFactory(job=bench.job, item=code)
    SeenRunningFactory.create_batch(30, job=bench.job)
    for page, before in zip(("as-found/?item=vermin", ""), counts, strict=True):
        with CaptureQueriesContext(connection) as many:
            client_in.get(f"/machines/{kettle}/{page}")
        assert len(many) == before
    with django_assert_num_queries(2):
        as_found.rows(bench.job)


def test_prove_is_untouched_by_what_was_found(bench: Any) -> None:
    before = stations.PROVE.facts([bench.job.pk])[bench.job.pk].asserted
    services.answer(bench.act(), bench.job, "buttons", pressed=WORKS, words="")
    assert stations.PROVE.facts([bench.job.pk])[bench.job.pk].asserted == before


def test_a_technician_may_use_the_card(technician_in: Any, instruments: Any) -> None:
    slug = factories.KettleJobFactory().machine.slug
    assert press(technician_in, slug, "vermin").status_code == 302
