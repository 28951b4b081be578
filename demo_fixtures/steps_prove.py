"""Reading the cards with plausible values, a while apart, as a person takes them."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal as D
from typing import Any

from demo_fixtures.demo import Demo
from workshop.bench import stations as bench_stations
from workshop.bench.facts.prove import ItemState, Standing
from workshop.bench.services import prove
from workshop.bench.services.measured import Typed
from workshop.core.acts import Act
from workshop.core.models import Instrument, Job, ModelNotes, Reading

# Minutes from one reading to the next, as a person takes them: what wants heat or several draws takes longer.
USUAL_MIN = 2
_MINUTES = {"ready": 26, "leak_hot": 10, "relief": 4, "brew_water": 6, "steam_power": 4, "dose_repeat": 6}
# With mains: drips while it still stands cold, then it heats, and leaks are looked for 30 minutes after that.
_FIRST = ("drip_cold", "watts_heating", "ready", "leak_hot")
_PLUG_OUT = ("before-lid", "safe-to-power")

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
    """Read every item still open on the cards of this machine, in bench order, with plausible values of its own."""
    for code in _PLUG_OUT:
        read_card(demo, days_ago, job, code)
    states = bench_stations.PROVE.facts([job.pk])[job.pk].states
    _read(demo, days_ago, job, sorted(states.values(), key=_turn))


def _turn(standing: Standing) -> int:
    return _FIRST.index(standing.item.code) if standing.item.code in _FIRST else len(_FIRST)


def make_safe(demo: Demo, days_ago: float, job: Job) -> None:
    """Read what stands before the first act that needs mains."""
    read_card(demo, days_ago, job, "before-lid")
    read_card(demo, days_ago, job, "safe-to-power")


def read_card(demo: Demo, days_ago: float, job: Job, code: str) -> None:
    states = bench_stations.PROVE.facts([job.pk])[job.pk].states
    _read(demo, days_ago, job, [standing for standing in states.values() if standing.home == code])


def _read(demo: Demo, days_ago: float, job: Job, standings: Iterable[Standing]) -> None:
    for standing in standings:
        if standing.state in (ItemState.OPEN, ItemState.WITHDRAWN):
            act = _next(demo.act(days_ago), job, standing.item.code)
            prove.read(act, job, standing.item.code, _typed(job, standing.item))


def _next(begun: Act, job: Job, code: str) -> Act:
    """Return when an item is read: at the beginning, or some minutes after the reading before it."""
    last = Reading.objects.filter(job=job).order_by("at").last()
    minutes = timedelta(minutes=_MINUTES.get(code, USUAL_MIN))
    return replace(begun, at=max(begun.at, last.at + minutes) if last else begun.at)


def look_again(demo: Demo, days_ago: float, job: Job, codes: Iterable[str]) -> None:
    """Let the owner read items a second time, each in the technician's stead."""
    states = bench_stations.PROVE.facts([job.pk])[job.pk].states
    for code in codes:
        typed = replace(_typed(job, states[code].item), second_look=True)
        prove.read(_next(demo.act(days_ago, demo.owner), job, code), job, code, typed)


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
