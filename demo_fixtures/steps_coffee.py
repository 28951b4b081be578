"""Shots, the recipe, weighed doses and runs of a button."""

from collections.abc import Iterable, Mapping
from decimal import Decimal as D
from typing import Any

from demo_fixtures.demo import Demo
from workshop.bench.services import dosing, recipe, shots
from workshop.bench.services.dosing import Delivered, Weighed
from workshop.bench.services.shots import Pulled
from workshop.core.models import Job


def pull(
    demo: Demo,
    days_ago: float,
    job: Job,
    rows: Iterable[tuple[str, str, str, str, str]],
    seen: Mapping[int, dict[str, Any]] | None = None,
) -> None:
    """Pull shots: rows of (setting, dose, yield, seconds, why spoilt or nothing), and what was seen, by place."""
    for at, (setting, dose_g, yield_g, time_s, why) in enumerate(rows):
        pulled = Pulled(
            setting=setting,
            dose_g=D(dose_g),
            yield_g=D(yield_g),
            time_s=D(time_s),
            new_coffee="house beans",
            roast_words="medium",
            roasted_on=demo.day(int(days_ago) + 8),
            opened_on=demo.day(int(days_ago) + 3),
            basket="Double",
            spoilt=bool(why),
            why_spoilt=why,
            **(seen or {}).get(at, {}),
        )
        shots.add_shot(demo.act(days_ago - at * 0.004), job, pulled)


def set_recipe(demo: Demo, days_ago: float, job: Job, **words: Any) -> None:
    notes = job.machine.notes
    recipe.set_recipe(
        demo.act(days_ago),
        job,
        {
            "basket": "Double",
            "dose_tolerance_g": D("0.3"),
            "portions": 1,
            "tamp_cue": notes.tamp_cue,
            "lock_in": "half past 6",
            "gauge_zone": "10 to 2 o'clock" if notes.has_gauge else "",
            "ready_low_min": notes.warm_up_low_min,
            "ready_high_min": notes.warm_up_high_min,
            "blank_shots": notes.blank_shots,
            "steam_ready_s": D("38"),
            "back_to_coffee_s": D("6"),
            "back_to_coffee": notes.back_to_coffee,
            **words,
        },
    )


def weigh(demo: Demo, days_ago: float, job: Job, setting: str, rows: Iterable[tuple[str, str, int]]) -> None:
    """Weigh doses: rows of (length or mark, grams in all, portions)."""
    for at, (length, dose_g, portions) in enumerate(rows):
        weighed = Weighed(length=length, dose_g=D(dose_g), setting=setting, portions=portions)
        dosing.add_dose(demo.act(days_ago - at * 0.002), job, weighed)


def run_button(demo: Demo, days_ago: float, job: Job, button: str, setting: str, rows: Iterable[str]) -> None:
    """Teach a timed button and weigh it, run after run."""
    for at, grams in enumerate(rows):
        run = Delivered(button, "TIMED", "COFFEE", D(grams), setting=setting, taught_anew=at == 0)
        dosing.add_button_run(demo.act(days_ago - at * 0.002), job, run)
