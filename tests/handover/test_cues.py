"""Cue cards: this unit's own numbers in order, nothing usual in their place, the safety cards always."""

import re

from django.test import Client
from django.urls import reverse

from demo_fixtures import scenario
from handover import cues
from handover.cue_words import SHOWN, Cue
from tests.house import NOW
from workshop.bench.models import Recipe
from workshop.bench.services import recipe as recipes
from workshop.bench.services import work
from workshop.core.models import Job, User

NBSP = "\u00a0"


def deck(job):
    return cues.deck(job, NOW.date())


def figures(job, code):
    return {big.words: big.figure for card in deck(job).cards if card.code == code for big in card.figures}


def test_the_cards_stand_in_the_order_of_showing(ready):
    assert deck(ready).codes == tuple(Cue.values)
    assert deck(ready).lacks == ()


def test_each_card_has_this_units_own_numbers(ready):
    recipe = Recipe.objects.get()

    assert figures(ready, Cue.GRIND) == {
        "grinder": "12", "dose dial": "half past 2", "coffee in": f"16.5{NBSP}g"
    }  # fmt: skip
    assert figures(ready, Cue.LOCK) == {"handle points to": "half past 6"}
    assert figures(ready, Cue.POUR) == {"pump time": f"26.5{NBSP}s", "in the cup": f"34{NBSP}g"}
    assert figures(ready, Cue.MILK) == {"until steam is ready": f"{recipe.steam_ready_s.normalize():f}{NBSP}s"}
    assert figures(ready, Cue.BACK) == {
        "until it pours coffee again": f"{recipe.back_to_coffee_s.normalize():f}{NBSP}s"
    }


def test_what_was_not_measured_is_named_and_never_filled_in(ready):
    Recipe.objects.update(steam_ready_s=None, lock_in="", ready_low_min=None)

    missing = [words for card in deck(ready).cards for words in card.missing]

    assert missing == [
        "How long it takes to warm up was not measured.",
        "The lock-in position was not noted.",
        "How soon steam is ready was not measured.",
    ]
    assert figures(ready, Cue.MILK) == {}


def test_before_the_recipe_is_proved_it_says_what_is_missing_and_keeps_the_safety_cards(demo, ready):
    recipes.strike_recipe(demo.act(0.5), Recipe.objects.select_related("job__machine").get())

    found = deck(ready)

    assert found.cards[0].title == "Not ready to show"
    assert found.lacks[0] == "Prove is not finished. There is no proved recipe to show."
    assert found.codes == (Cue.AFTER, Cue.NEVER, Cue.CARE)
    assert any("Electric shock can kill." in message.hazard for card in found.cards for message in card.safety)


def test_an_opened_case_says_that_the_numbers_may_still_change(demo, ready):
    work.open_case(demo.act(0.5), ready, why="a look inside")

    found = deck(ready)

    assert found.lacks[0] == "Prove is not finished. These numbers may still change."
    assert Cue.POUR in found.codes


def test_the_buyer_is_told_in_words_of_their_own_of_every_card():
    assert set(SHOWN) == set(Cue.values)


def test_cards_follow_each_other_by_plain_links_to_the_end_and_back(ready):
    client = Client()
    client.force_login(User.objects.get(role="TECHNICIAN"))
    path = reverse("handover:cue_card", args=[ready.machine.slug, 1])
    seen = []
    while path and len(seen) < 30:
        page = client.get(path)
        assert page.status_code == 200
        seen.append(re.search(r'cue-progress">([^<]*)<', page.content.decode())[1])
        ahead = re.search(r'class="button" href="([^"]+)" data-cue-next', page.content.decode())
        path = ahead[1] if ahead and "#hand-over" not in ahead[1] else ""

    count = len(deck(ready).cards)
    assert seen == [*(f"{n} of {count}" for n in range(1, count + 1)), "end"]


def test_a_number_past_the_last_card_leads_to_the_end(ready):
    client = Client()
    client.force_login(User.objects.get(role="OWNER"))

    answer = client.get(reverse("handover:cue_card", args=[ready.machine.slug, 99]))

    assert answer.url == reverse("handover:cue_end", args=[ready.machine.slug])


def test_all_cards_stand_on_one_plain_page(ready):
    client = Client()
    client.force_login(User.objects.get(role="OWNER"))

    page = client.get(reverse("handover:cue_print", args=[ready.machine.slug])).content.decode()

    count = len(deck(ready).cards)
    assert page.count("cue-one") == count
    assert f"{count}. The first care date" in page


def test_a_button_says_what_it_delivered_here_and_a_timed_dose_is_seconds_not_a_dial(demo):
    scenario.at_price(demo)

    figures = [big.words for card in deck(Job.objects.for_page().get()).cards for big in card.figures]
    assert "grind for" in figures
    assert "dose dial" not in figures
    said = [line for card in deck(Job.objects.for_page().get()).cards if card.code == Cue.POUR for line in card.say]

    assert said[0] == f"Two cups button: 36{NBSP}g, 35.6 to 36.4, timed."
