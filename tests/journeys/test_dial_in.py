"""A dial-in on a phone, from the first dose to the recipe: the person does what the page says, the machine is a model.

The heat exchanger's grinder has steps, its dose dial is read like a clock. The unit runs 26 s at step 12 and a tenth
in ln seconds longer for each step finer; nobody told the app.
"""

import math
import re
from typing import Any

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from demo_fixtures import house, scenario
from tests.bench.conftest import Bench
from tests.factories import JobFactory
from workshop.bench.models import Recipe
from workshop.core.acts import Act
from workshop.core.models import ModelNotes

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MOST_SETTINGS = 5  # a technician who turns one step at a time from 18 needs seven


def seconds_at(step: int) -> float:
    return round(26 * math.exp(-0.1 * (step - 12)) * 2) / 2


@pytest.fixture
def heron(walk: Any) -> Bench:
    """Return a heat exchanger that is safe to power, with the technician signed in on a phone."""
    demo = scenario.open_house(timezone.now())
    job = JobFactory(machine__notes=ModelNotes.objects.get(model="Heron"), machine__slug="thistle-quay")
    bench = Bench(job, lambda key=None, by=None, at=None: Act(by=by or demo.technician, at=at or demo.now, key=key))
    bench.make_safe()
    walk.page.set_viewport_size({"width": 390, "height": 844})
    walk.open("/sign-in/")
    walk.type("Name", house.TECHNICIAN["username"])
    walk.type("Password", house.TECHNICIAN["password"])
    walk.press("Sign in")
    walk.open("/machines/thistle-quay/shots/")
    return bench


def pull(walk: Any, step: int, dose: str = "16.5") -> None:
    """Pull one shot at a step, stopped at 34 g."""
    for label, value in (
        ("Grinder at", str(step)),
        ("Coffee in", dose),
        ("In the cup", "34"),
        ("Pump time", f"{seconds_at(step)}"),
    ):
        walk.type(label, value)
    walk.press("Record this shot")


def advised(walk: Any) -> tuple[int | None, str]:
    """Return the step on top of the page, or None where it says that two shots agree."""
    head = walk.page.locator("#next").inner_text()
    found = re.search(r"Grinder at (\d+)", head)
    return (int(found.group(1)) if found else None), head


def test_a_clock_dial_machine_from_the_first_dose_to_its_recipe(walk: Any, heron: Bench) -> None:
    walk.press("What the grinder doses")
    walk.look("dose-empty")
    for dial, grams in (("half past 1", "14.0"), ("4 o'clock", "19.1")):
        walk.page.locator("input[name$=length]").fill(dial)
        walk.type("Grinder at", "18")
        walk.type("On the scale, in all", grams)
        walk.press("Record this dose")
    walk.look("dose")
    expect(walk.page.locator("#answer h3")).to_contain_text(
        "quarter to 3 gives 16.6"
    )  # 2.04 g an hour of the dial, by hand

    walk.open("/machines/thistle-quay/shots/")
    walk.look("shots-empty-clock")
    step, settings = 18, [18]
    pull(walk, step)
    for _ in range(MOST_SETTINGS):
        following = advised(walk)[0]
        if following is None:
            break
        if following != step:
            settings.append(following)
            step = following
            pull(walk, step)  # the first after a change: left out by itself
            expect(walk.page.get_by_text("first after a change").first).to_be_visible()
        pull(walk, step)
    assert "Two shots agree" in advised(walk)[1], (settings, advised(walk)[1])
    assert len(settings) <= MOST_SETTINGS
    walk.look("shots-agree")

    walk.press("Make them the recipe")
    walk.look("recipe-pressed")
    walk.press("Set the recipe")
    recipe = Recipe.objects.get()
    assert 23 <= seconds_at(int(recipe.grind_setting)) <= 30
    assert recipe.first_shot.setting == recipe.second_shot.setting == step
    walk.open("/machines/thistle-quay/shots/")
    assert "the recipe stands" in advised(walk)[1]
