"""Writers of test shots."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from workshop.bench import dialin, odd
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import Coffee, Shot
from workshop.bench.services.prove import open_facts, refuse_unsafe
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.templatetags.measures import number


@dataclass(frozen=True, slots=True)
class Pulled:
    """One shot as typed: the setting in the grinder's own words."""

    setting: str
    dose_g: Decimal
    yield_g: Decimal
    time_s: Decimal
    coffee: Coffee | None = None
    new_coffee: str = ""
    roast_words: str = ""
    roasted_on: date | None = None
    basket: str = ""
    pressurised: bool = False
    spoilt: bool = False
    why_spoilt: str = ""
    note: str = ""
    sure: str = ""  # dose and yield a person has said yes to


def add_shot(act: Act, job: Job, pulled: Pulled) -> JournalEntry:
    """Keep one test shot.

    :raises Refused: not safe to power, a setting the grinder does not have, or spoilt without why
    :raises Odd: a dose or a ratio that is hardly so, until a second press says yes
    """
    with acts.once(act):
        facts = open_facts(job)
        if facts.dial_in is None:
            raise Refused("A grinder alone pulls no shots.")
        refuse_unsafe(facts)
        if pulled.spoilt and not pulled.why_spoilt:
            raise Refused("Say in a word or two what spoilt it.", field="why_spoilt")
        value, words = _setting(facts, pulled.setting)
        _ask_if_odd(facts.dial_in, pulled)
        row = Shot.objects.create(
            job=job,
            number=Shot.objects.filter(job=job, corrects__isnull=True).count() + 1,
            coffee=_coffee(pulled),
            built_in_grinder=facts.dial_in.built_in,
            setting=value,
            setting_words=words,
            pressurised=pulled.pressurised or dialin.is_pressurised(pulled.basket),
            by=act.by,
            at=act.at,
            **{name: getattr(pulled, name) for name in _KEPT},
        )
        words = f"Pulled shot {row.number} at {words}: {number(row.yield_g)} g in {number(row.time_s)} s"
        return acts.write(act, "add_shot", words, row, job=job)


_KEPT = ("dose_g", "yield_g", "time_s", "basket", "spoilt", "why_spoilt", "note")


def _setting(facts: ProveFacts, typed: str) -> tuple[Decimal | None, str]:
    """Return the setting on its scale with its words; words only where no scale is known."""
    if facts.dial_in is None:
        raise Refused("A grinder alone pulls no shots.")
    try:
        return facts.dial_in.read_setting(typed)
    except ValueError as wrong:
        raise Refused(str(wrong), field="setting") from wrong


def _ask_if_odd(dial_in: dialin.DialIn, pulled: Pulled) -> None:
    question, field = odd.shot(pulled.dose_g, pulled.yield_g, dial_in.target.dose_g)
    about = f"{number(pulled.dose_g)} in, {number(pulled.yield_g)} out"
    if question and pulled.sure != about:
        raise acts.Odd(f"{question} Is that so? Press again to record it.", about=about, field=field)


def _coffee(pulled: Pulled) -> Coffee | None:
    if not pulled.new_coffee:
        return pulled.coffee
    row, _ = Coffee.objects.get_or_create(
        words=pulled.new_coffee, roast_words=pulled.roast_words, roasted_on=pulled.roasted_on
    )
    return row


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
