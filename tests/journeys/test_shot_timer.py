"""Shots with a wet thumb: a timer right to a tenth through sleep and a page loaded anew; the screen wiped and kept on.

The wall clock of the browser is held still by the test and moved by hand, so that a tenth of a second can be told.
"""

import random
from typing import Any

import pytest
from django.apps import apps
from playwright.sync_api import expect

from demo_fixtures import house
from tests import factories
from tests.bench.conftest import Bench
from tests.bench.factories import InstrumentFactory, KettleJobFactory
from workshop.bench.models import Shot
from workshop.core.words import InstrumentKind

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

CLOCK = """
const real = Date.now.bind(Date);
Date.now = () => { const held = localStorage.getItem("clock"); return held === null ? real() : Number(held); };
"""
AWAKE = """
window.asked = 0;
Object.defineProperty(navigator, "wakeLock", { configurable: true, value: { request: async () => {
  window.asked += 1;
  const lock = new EventTarget();
  lock.released = false;
  lock.release = async () => { lock.released = true; lock.dispatchEvent(new Event("release")); };
  window.lock = lock;
  return lock;
} } });
"""


@pytest.fixture
def bench(walk: Any, act: Any, owner: Any) -> Bench:
    """Return a machine that is safe to power, and Ana signed in, in a browser whose clock the test moves."""
    factories.ShopFactory()
    for kind in InstrumentKind:
        InstrumentFactory(kind=kind.value)
    owner.set_password(house.OWNER["password"])
    owner.save()
    bench = Bench(KettleJobFactory(), act)
    bench.make_safe()
    walk.page.add_init_script(CLOCK)
    walk.open("/sign-in/")
    walk.type("Name", "ana")
    walk.type("Password", house.OWNER["password"])
    walk.press("Sign in")
    return bench


def shots_page(walk: Any, bench: Bench) -> Any:
    walk.open(f"/machines/{bench.job.machine.slug}/shots/")
    return walk.page


def clock(page: Any, seconds: float) -> None:
    page.evaluate("at => localStorage.setItem('clock', String(1_780_000_000_000 + at))", round(seconds * 1000))


def press(page: Any, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def seconds_in(page: Any, label: str) -> str:
    return str(page.get_by_label(label).first.input_value())


# --- the timer -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("drip", "stop", "shown"),
    [
        (6.24, 27.44, ("6.2", "27.4")),
        (6.26, 27.46, ("6.3", "27.5")),  # the nearest tenth
        (0.15, 59.96, ("0.2", "60.0")),
    ],
)
def test_the_three_presses_put_what_they_measured_in_the_boxes(
    walk: Any, bench: Bench, drip: float, stop: float, shown: tuple[str, str]
) -> None:
    page = shots_page(walk, bench)
    clock(page, 0)
    press(page, "Start")
    clock(page, drip)
    press(page, "First drip")
    assert seconds_in(page, "Pump time") == ""
    clock(page, stop)
    press(page, "Stop")
    assert (seconds_in(page, "Drip began after"), seconds_in(page, "Pump time")) == shown
    expect(page.locator("[data-timer-face]")).to_have_text(shown[1])


def test_twenty_seconds_asleep_and_a_page_loaded_anew_lose_nothing(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    clock(page, 0)
    press(page, "Start")
    clock(page, 5.1)
    press(page, "First drip")
    clock(page, 25.1)  # 20 s in which no frame ran
    page.reload()
    expect(page.locator("[data-timer-face]")).to_have_text("25.1")
    assert seconds_in(page, "Drip began after") == "5.1"
    clock(page, 28.3)
    press(page, "Stop")
    assert seconds_in(page, "Pump time") == "28.3"
    page.reload()
    assert seconds_in(page, "Pump time") == "28.3"  # measured, not recorded yet: it is still there


def test_a_clock_put_back_in_mid_shot_does_not_shorten_it(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    clock(page, 100)
    press(page, "Start")
    clock(page, 40)
    page.wait_for_timeout(1500)
    press(page, "Stop")
    assert float(seconds_in(page, "Pump time")) >= 1.5


def test_a_wet_thumb_that_presses_twice_changes_nothing(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    press(page, "Stop")
    expect(page.locator("[data-timer-said]")).to_have_text("press Start first")
    clock(page, 0)
    press(page, "Start")
    clock(page, 3)
    press(page, "Start anew")
    expect(page.locator("[data-timer-said]")).to_have_text("runs: press again to start anew")
    clock(page, 6)
    press(page, "First drip")
    clock(page, 9)
    press(page, "First drip")
    clock(page, 27)
    press(page, "Stop")
    clock(page, 60)
    press(page, "Stop")
    assert (seconds_in(page, "Drip began after"), seconds_in(page, "Pump time")) == ("6.0", "27.0")


def test_a_running_timer_begins_anew_at_a_second_press_and_the_touch_of_a_wet_thumb_is_none(
    walk: Any, bench: Bench
) -> None:
    page = shots_page(walk, bench)
    clock(page, 0)
    press(page, "Start")
    clock(page, 0.2)
    press(page, "Start anew")
    clock(page, 0.4)
    press(page, "Start anew")  # bounced twice: nothing is armed
    clock(page, 5)
    press(page, "First drip")
    clock(page, 10)
    press(page, "Start anew")
    assert seconds_in(page, "Drip began after") == "5.0"
    press(page, "Start anew")
    assert seconds_in(page, "Drip began after") == ""
    clock(page, 36)
    press(page, "Stop")
    assert float(seconds_in(page, "Pump time")) == pytest.approx(26, abs=0.1)


def test_a_forgotten_timer_writes_no_drip_and_begins_anew_at_one_press(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    clock(page, 0)
    press(page, "Start")
    clock(page, 388.4)
    press(page, "First drip")
    expect(page.locator("[data-timer-said]")).to_have_text("over 3 minutes: press Start anew")
    assert seconds_in(page, "Drip began after") == ""
    press(page, "Start anew")
    clock(page, 394.4)
    press(page, "First drip")
    assert float(seconds_in(page, "Drip began after")) == pytest.approx(6, abs=0.1)


def test_start_empties_what_the_timer_filled_and_never_what_was_typed(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    clock(page, 0)
    press(page, "Start")
    clock(page, 7)
    press(page, "First drip")
    clock(page, 27)
    press(page, "Stop")
    walk.type("Pump time", "28,1")
    press(page, "Start")
    assert (seconds_in(page, "Drip began after"), seconds_in(page, "Pump time")) == ("", "28,1")


def test_a_refused_shot_says_that_the_timer_still_runs(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    clock(page, 0)
    press(page, "Start")
    page.get_by_role("button", name="Record this shot").click()
    expect(page.locator("[data-error-summary]")).to_be_visible()
    walk.console.clear()  # the browser notes the refusal
    expect(page.locator("[data-timer-said]")).to_have_text("still runs, nothing recorded")
    expect(page.get_by_role("button", name="Start anew")).to_be_visible()


def test_what_was_pressed_is_seen_by_its_frame(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    clock(page, 0)

    def frames() -> list[str]:
        return [
            each.evaluate("button => getComputedStyle(button).borderTopWidth")
            for each in page.locator("[data-timer-press]").all()
        ]

    still = frames()
    assert len(set(still)) == 1
    press(page, "Start")
    assert frames() == ["6px", *still[1:]]
    press(page, "First drip")
    assert frames() == ["6px", "6px", still[2]]
    walk.look("timer-runs")
    press(page, "Stop")
    assert frames() == still


def test_no_timer_stands_on_a_machine_that_is_not_safe_to_power(walk: Any, bench: Bench) -> None:
    bench.open_case()
    page = shots_page(walk, bench)
    expect(page.get_by_text("No timer while it is not safe to power")).to_be_visible()
    expect(page.get_by_role("button", name="Start", exact=True)).to_have_count(0)


def test_a_timed_shot_is_recorded_and_the_timer_stands_at_nothing_again(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    clock(page, 0)
    press(page, "Start")
    clock(page, 7)
    press(page, "First drip")
    clock(page, 27.3)
    press(page, "Stop")
    for label, value in (("Grinder at", "40"), ("Coffee in", "17,5"), ("In the cup", "35")):
        walk.type(label, value)
    page.get_by_role("button", name="Record this shot").click()  # no such mark: refused
    expect(page.locator("[data-error-summary]")).to_be_visible()
    walk.console.clear()  # the browser notes the refusal
    assert seconds_in(page, "Pump time") == "27.3"
    walk.type("Grinder at", "12")
    walk.press("Record this shot")
    shot = Shot.objects.get()
    assert (str(shot.first_drip_s), str(shot.time_s)) == ("7.0", "27.3")
    expect(page.locator("[data-timer-face]")).to_have_text("0.0")
    assert seconds_in(page, "Pump time") == ""


def test_without_scripts_the_seconds_are_typed(walk: Any, bench: Bench) -> None:
    cookies = walk.page.context.cookies()
    context = walk.page.context.browser.new_context(java_script_enabled=False)
    context.add_cookies(cookies)
    page = context.new_page()
    page.goto(f"{walk.base}/machines/{bench.job.machine.slug}/shots/")
    expect(page.get_by_role("button", name="Start", exact=True)).to_be_hidden()
    expect(page.get_by_role("button", name="Wipe the screen")).to_be_hidden()
    for label, value in (("Grinder at", "12"), ("Coffee in", "17.5"), ("In the cup", "35"), ("Pump time", "27.1")):
        page.get_by_label(label).first.fill(value)
    page.get_by_role("button", name="Record this shot").click()
    expect(page.get_by_text("Pulled shot 1")).to_be_visible()
    context.close()


# --- pressed in ------------------------------------------------------------------------------------------


def test_the_first_shot_after_a_change_is_pressed_in_and_one_press_says_otherwise(walk: Any, bench: Bench) -> None:
    bench.pull("12", "22")
    page = shots_page(walk, bench)
    expect(page.get_by_label("It counts")).to_be_checked()
    walk.type("Grinder at", "11")
    expect(page.get_by_label("First after a change")).to_be_checked()
    walk.type("Grinder at", "12")
    expect(page.get_by_label("It counts")).to_be_checked()
    walk.type("Grinder at", "10")
    page.get_by_label("It counts").check()
    walk.type("Grinder at", "11")
    expect(page.get_by_label("It counts")).to_be_checked()  # a person's press stands
    expect(page.get_by_label("Spoilt, because")).to_be_hidden()
    page.get_by_label("Spoilt", exact=True).check()
    expect(page.get_by_label("Spoilt, because")).to_be_visible()


@pytest.mark.parametrize("width", [1280, 390])
def test_all_that_is_pressed_is_big_enough_for_a_wet_thumb(walk: Any, bench: Bench, width: int) -> None:
    walk.page.set_viewport_size({"width": width, "height": 844})
    for setting in ("12", "11"):
        bench.pull(setting, "22", tastes=["SOUR"], flow="GUSH", spoilt=None)
    page = shots_page(walk, bench)
    for fold in page.locator("#add summary").all():
        fold.click()
    walk.look("shot-entry")
    for each in page.locator("main button:visible, #add .presses label:visible, #add summary").all():
        box = each.bounding_box()
        assert box["height"] >= 64, each.inner_text()
        assert box["width"] >= 64, each.inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


# --- the screen wiped, the screen kept on ----------------------------------------------------------------


def records() -> dict[str, int]:
    ours = [m for m in apps.get_models() if m.__module__.split(".")[0] in ("workshop", "intake", "handover")]
    return {model._meta.label: model._default_manager.count() for model in ours}


@pytest.mark.parametrize("path", ["shots/", "cards/water/?item=pressure", "cards/safe-to-power/?item=visual&again=1"])
def test_twenty_drops_on_a_wiped_screen_change_no_record(walk: Any, bench: Bench, path: str) -> None:
    bench.pull("12", "22")
    walk.page.set_viewport_size({"width": 390, "height": 844})
    walk.open(f"/machines/{bench.job.machine.slug}/{path}")
    page, before = walk.page, records()
    form = "JSON.stringify(Array.from(document.querySelectorAll('input, select')).map(i => [i.value, i.checked]))"
    typed, address = page.evaluate(form), page.url
    clock(page, 0)
    press(page, "Wipe the screen")
    walk.look("wiped")
    drops = random.Random(7)
    for _ in range(20):
        page.mouse.click(drops.randrange(1, 389), drops.randrange(1, 843))
    clock(page, 9.9)
    expect(page.get_by_role("dialog")).to_contain_text("1 s")
    page.wait_for_load_state("networkidle")
    assert (records(), page.evaluate(form), page.url) == (before, typed, address)
    clock(page, 10)
    expect(page.get_by_role("dialog")).to_have_count(0)


def test_a_keyboard_leaves_a_wiped_screen_with_escape(walk: Any, bench: Bench) -> None:
    page = shots_page(walk, bench)
    press(page, "Wipe the screen")
    expect(page.get_by_role("dialog")).to_be_visible()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("dialog")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(page.get_by_role("button", name="Wipe the screen")).to_be_focused()


def test_the_screen_is_kept_on_also_after_it_was_let_go_and_on_the_next_page(walk: Any, bench: Bench) -> None:
    walk.page.add_init_script(AWAKE)
    page = shots_page(walk, bench)
    switch = page.get_by_role("button", name="Keep the screen on")
    assert page.evaluate("window.asked") == 0  # nobody asked for it
    switch.click()
    expect(page.get_by_text("It stays on.")).to_be_visible()
    expect(switch).to_have_attribute("aria-pressed", "true")
    page.evaluate("window.lock.release()")  # as the browser does when the page is hidden
    expect(page.get_by_text("It may go dark")).to_be_visible()
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.get_by_text("It stays on.")).to_be_visible()
    walk.open(f"/machines/{bench.job.machine.slug}/cards/water/")
    expect(page.get_by_text("It stays on.")).to_be_visible()
    walk.look("kept-on")
    switch.click()
    expect(switch).to_have_attribute("aria-pressed", "false")
    assert page.evaluate("window.lock.released")


def test_a_browser_that_cannot_keep_it_on_says_so(walk: Any, bench: Bench) -> None:
    walk.page.add_init_script("Object.defineProperty(navigator, 'wakeLock', { value: undefined });")
    page = shots_page(walk, bench)
    press(page, "Keep the screen on")
    expect(page.get_by_text("It may go dark: this browser does not hold it.")).to_be_visible()
