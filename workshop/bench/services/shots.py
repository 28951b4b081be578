"""Writers of test shots."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from workshop.bench import dialin, odd
from workshop.bench.models import Coffee, Shot
from workshop.bench.services import coffee
from workshop.bench.services.prove import open_facts, refuse_unsafe
from workshop.bench.words import AFTER_A_CHANGE, Taste
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.templatetags.measures import number
from workshop.trade import scales


@dataclass(frozen=True, slots=True)
class Pulled:
    """One shot as typed: the setting in the grinder's own words.

    `spoilt` None leaves it to the grinder: spoilt where it is the first after a change of its setting.
    """

    setting: str
    dose_g: Decimal
    yield_g: Decimal
    time_s: Decimal
    coffee: Coffee | None = None
    new_coffee: str = ""
    roast_words: str = ""
    roasted_on: date | None = None
    opened_on: date | None = None
    first_drip_s: Decimal | None = None
    tds_percent: Decimal | None = None
    gauge_bar: Decimal | None = None
    gauge_from: str = ""
    gauge_to: str = ""
    flow: str = ""
    crema: str = ""
    spouts: str = ""
    tastes: Sequence[str] = ()
    basket: str = ""
    pressurised: bool = False
    spoilt: bool | None = False
    why_spoilt: str = ""
    note: str = ""
    sure: str = ""  # the numbers a person has said yes to


def add_shot(act: Act, job: Job, pulled: Pulled) -> JournalEntry:
    """Keep one test shot.

    :raises Refused: not safe to power, a setting the grinder does not have, spoilt without why, or what cannot be
    :raises Odd: a number that is hardly so, until a second press says yes
    """
    with acts.once(act):
        facts = open_facts(job)
        if facts.dial_in is None:
            raise Refused("A grinder alone pulls no shots.")
        refuse_unsafe(facts)
        if pulled.spoilt and not pulled.why_spoilt:
            raise Refused("Say in a word or two what spoilt it.", field="why_spoilt")
        row = _row(act, job, facts.dial_in, pulled)
        _refuse_impossible(row)
        row.coffee = _bag(act, pulled)
        _ask_if_odd(row, facts.dial_in, pulled.sure)
        row.save(force_insert=True)
        return acts.write(act, "add_shot", _say(row), row, job=job)


def _row(act: Act, job: Job, dial_in: dialin.DialIn, pulled: Pulled) -> Shot:
    """Return the shot as it would be kept, not saved yet."""
    value, words = _setting(dial_in, pulled.setting)
    return Shot(
        job=job,
        number=Shot.objects.filter(job=job, corrects__isnull=True).count() + 1,
        built_in_grinder=dial_in.built_in,
        setting=value,
        setting_words=words,
        gauge_from=_clock("gauge_from", pulled.gauge_from),
        gauge_to=_clock("gauge_to", pulled.gauge_to),
        tastes=" ".join(taste for taste in Taste.values if taste in pulled.tastes),
        pressurised=pulled.pressurised or dialin.is_pressurised(pulled.basket),
        by=act.by,
        at=act.at,
        **_left_out(dial_in, pulled, words),
        **{name: getattr(pulled, name) for name in _KEPT},
    )


_KEPT = (
    "dose_g",
    "yield_g",
    "time_s",
    "first_drip_s",
    "tds_percent",
    "gauge_bar",
    "flow",
    "crema",
    "spouts",
    "basket",
    "note",
)


def _say(row: Shot) -> str:
    words = f"Pulled shot {row.number} at {row.setting_words}: {number(row.yield_g)} g in {number(row.time_s)} s"
    return f"{words}, {AFTER_A_CHANGE}, so left out of the advice" if row.why_spoilt == AFTER_A_CHANGE else words


def _left_out(dial_in: dialin.DialIn, pulled: Pulled, words: str) -> dict[str, Any]:
    """Say whether the shot is kept out of the advice, and why; where nobody said, the grinder's move decides."""
    if pulled.spoilt is not None:
        return {"spoilt": pulled.spoilt, "why_spoilt": pulled.why_spoilt}
    moved = bool(dial_in.rows) and dial_in.rows[-1].setting_words.lower() != words.lower()
    return {"spoilt": moved, "why_spoilt": AFTER_A_CHANGE if moved else ""}


def _refuse_impossible(row: Shot) -> None:
    if row.first_drip_s is not None and row.first_drip_s > row.time_s:
        raise Refused(f"The pump stopped at {number(row.time_s)} s, before this drip.", field="first_drip_s")
    if row.tds_percent is not None and row.yield_g == 0:
        raise Refused("Nothing reached the cup: leave its strength empty.", field="tds_percent")
    if row.gauge_to and not row.gauge_from:
        raise Refused("Say where the needle began too, or leave both empty.", field="gauge_from")


def _clock(field: str, typed: str) -> str:
    """Return where the needle stood in the words of a clock face; empty where nobody looked."""
    if not typed.strip():
        return ""
    try:
        return scales.say(scales.CLOCK_FACE, scales.parse(scales.CLOCK_FACE, typed))
    except ValueError:
        raise Refused("Say it as on a clock face, to the quarter: 10 o'clock or half past two.", field=field) from None


def _setting(dial_in: dialin.DialIn, typed: str) -> tuple[Decimal | None, str]:
    """Return the setting on its scale with its words; words only where no scale is known."""
    try:
        return dial_in.read_setting(typed)
    except ValueError as wrong:
        raise Refused(str(wrong), field="setting") from wrong


def _ask_if_odd(row: Shot, dial_in: dialin.DialIn, sure: str) -> None:
    asked = odd.shot(row, dial_in.target.dose_g)
    measured = (row.dose_g, row.yield_g, row.time_s, row.tds_percent, row.gauge_bar)
    about = ", ".join("none" if value is None else number(value) for value in measured)
    if asked and sure != about:
        sentences = [sentence for sentence, _ in asked]
        sentences[-1] += " Is that so? Press again to record it."
        raise acts.Odd(*sentences, about=about, field=asked[0][1] if len(asked) == 1 else "")


def _bag(act: Act, pulled: Pulled) -> Coffee | None:
    return coffee.bag(
        pulled.coffee,
        pulled.new_coffee,
        pulled.roast_words,
        roasted_on=pulled.roasted_on,
        opened_on=pulled.opened_on,
        today=act.day,
    )


def strike_shot(act: Act, shot: Shot) -> JournalEntry:
    """Take a shot out as a slip: a new row names it and neither counts. :raises Refused: when taken out before."""
    with acts.once(act):
        if shot.struck or Shot.objects.filter(corrects=shot).exists():
            raise Refused("This shot was taken out already.")
        Shot.objects.create(**_same(shot), by=act.by, at=act.at, corrects=shot, struck=True)
        return acts.write(act, "strike_shot", f"Took out shot {shot.number}", first_row(shot), job=shot.job)


def put_shot_back(act: Act, shot: Shot) -> JournalEntry:
    """Put a shot back that was taken out: a new row with what was pulled. :raises Refused: when it is not out."""
    with acts.once(act):
        out = Shot.objects.filter(job=shot.job, number=shot.number, struck=True, corrected_by__isnull=True).first()
        if out is None:
            raise Refused("This shot is not out.")
        pulled = first_row(shot)
        Shot.objects.create(**_same(pulled), by=pulled.by, at=pulled.at, corrects=out)
        return acts.write(act, "put_shot_back", f"Put shot {shot.number} back", pulled, job=shot.job)


def first_row(shot: Shot) -> Shot:
    """Return the row written when the shot was pulled; the journal speaks of that one, whatever came after."""
    return Shot.objects.get(job=shot.job_id, number=shot.number, corrects__isnull=True)


def _same(shot: Shot) -> dict[str, Any]:
    return {f.attname: getattr(shot, f.attname) for f in Shot._meta.concrete_fields if f.attname not in _OWN}


_OWN = ("id", "by_id", "at", "corrects_id", "struck")
