"""Reading the cards with plausible values, a while apart, as a person takes them."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal as D
from typing import Any

from demo_fixtures.demo import Demo
from workshop.bench import stations as bench_stations
from workshop.bench.services import prove
from workshop.bench.services.measured import Typed
from workshop.core.models import Instrument, Job, ModelNotes, Reading

HOT_DAYS = 0.03  # 43 min under power before the first reading with mains, so that what is read hot is hot
SPACED_DAYS = 0.0006  # 52 s from one reading to the next, as a person takes them

_VALUES: dict[str, tuple[str, str]] = {
    "earth": ("0.09", ""),
    "insulation": ("99.9", ">"),
    "pressure": ("9.1", ""),
    "insulation_hot": ("42", ""),
    "debit": ("84", ""),
    "ready": ("14", ""),
    "steam_ready": ("38", ""),
    "back_to_coffee": ("6", ""),
    "pressure_shot": ("9", ""),
    "watts_pumping": ("46", ""),
    "hot_water": ("91", ""),
    "drip_stop": ("3", ""),
}

# How far each value of a series lies from what the model's notes ask for; the water from 92 °C.
_SERIES: dict[str, tuple[str, ...]] = {
    "brew_water": ("-0.5", "0.2", "0.6", "1", "0.4"),
    "button_repeat": ("-0.6", "0.1", "-0.2"),
    "spout_balance": ("0.2", "-0.4"),
    "dose_repeat": ("0.1", "-0.1", "0", "0.3", "0"),
}

_STEAM: dict[str, str | D] = {
    "liquid": "water",
    "grams": D("250"),
    "start_c": D("14"),
    "end_c": D("61"),
    "time_s": D("47"),
}


def read_all(demo: Demo, days_ago: float, job: Job) -> None:
    """Read every item still open on the cards of this machine, card by card, with plausible values of its own."""
    for card in bench_stations.PROVE.facts([job.pk])[job.pk].every_card:
        read_card(demo, days_ago, job, card.code)


def make_safe(demo: Demo, days_ago: float, job: Job) -> None:
    """Read what stands before the first act that needs mains."""
    read_card(demo, days_ago, job, "before-lid")
    read_card(demo, days_ago, job, "safe-to-power")


def read_card(demo: Demo, days_ago: float, job: Job, code: str) -> None:
    from workshop.bench.facts.prove import ItemState

    facts = bench_stations.PROVE.facts([job.pk])[job.pk]
    for standing in facts.states.values():
        if standing.home == code and standing.state in (ItemState.OPEN, ItemState.WITHDRAWN):
            hot_days = 0 if code in ("before-lid", "safe-to-power") else HOT_DAYS
            at = days_ago - hot_days - SPACED_DAYS * Reading.objects.filter(job=job).count()
            prove.read(demo.act(at), job, standing.item.code, _typed(job, standing.item))


def look_again(demo: Demo, days_ago: float, job: Job, codes: Iterable[str]) -> None:
    """Let the owner read items a second time, each in the technician's stead."""
    states = bench_stations.PROVE.facts([job.pk])[job.pk].states
    for n, code in enumerate(codes):
        typed = replace(_typed(job, states[code].item), second_look=True)
        prove.read(demo.act(days_ago - SPACED_DAYS * n, demo.owner), job, code, typed)


def under_the_lid(job: Job) -> list[str]:
    """Return the codes of what can only be seen with the case open."""
    states = bench_stations.PROVE.facts([job.pk])[job.pk].states
    return [code for code, standing in states.items() if standing.item.opens_case]


def _typed(job: Job, item: Any) -> Typed:
    if item.seen:
        return Typed(answer="good")
    instrument = Instrument.objects.filter(kind=item.instrument).first() if item.instrument else None
    if item.draws:
        return Typed(series=_series(job.machine.notes, item.code), instrument=instrument)
    if item.inputs:
        return Typed(inputs=_STEAM, instrument=instrument)
    if item.code == "watts_heating":
        return Typed(value=D(job.machine.watts or 1000) * D("0.99"))
    value, sign = _VALUES[item.code]
    warm = job.machine.notes.warm_up_low_min
    shown = D(warm) if item.code == "ready" and warm else D(value)
    volts = 500 if item.code.startswith("insulation") else None
    return Typed(value=shown, sign=sign, instrument=instrument, test_volts=volts)


def _series(notes: ModelNotes, code: str) -> tuple[D, ...]:
    cup = notes.yield_g or D(34)
    middle = {"brew_water": D(92), "button_repeat": cup, "spout_balance": cup / 2}.get(code, notes.dose_g or D(16))
    return tuple(middle.quantize(D("0.1")) + D(off) for off in _SERIES[code])
