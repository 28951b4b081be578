"""Writers of dose trials, of runs of a button, and of the grinder being opened."""

from dataclasses import dataclass
from decimal import Decimal

from intake.services.guard import refuse_work_on_hold
from workshop.bench import dosing, odd
from workshop.bench.dialin import DialIn
from workshop.bench.models import BurrChange, ButtonTrial, DoseTrial
from workshop.bench.services.prove import open_facts, refuse_unsafe
from workshop.bench.words import RunsWith
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.templatetags.measures import measure
from workshop.trade import scales

NO_GRINDER = "This machine has no grinder of its own."


@dataclass(frozen=True, slots=True)
class Weighed:
    """One dose as typed: length and grind in the machine's own words, grams of all portions together."""

    length: str
    dose_g: Decimal
    setting: str
    portions: int = 1
    topped_up: bool = False
    sure: str = ""


def add_dose(act: Act, job: Job, weighed: Weighed) -> JournalEntry:
    """Keep one weighed dose of the machine's own grinder.

    :raises Refused: no grinder of its own, not safe to power, a length or a setting its scales do not have
    :raises Odd: far more coffee than the machine takes, until a second press says yes
    """
    with acts.once(act):
        dial_in = _grinding(job)
        length, words = _length(job, weighed.length)
        question = odd.dose(weighed.dose_g, dial_in.target.dose_g)
        _ask(question, str(weighed.dose_g), weighed.sure, "dose_g")
        row = DoseTrial.objects.create(
            job=job,
            length=length,
            length_words=words,
            portions=weighed.portions,
            topped_up=weighed.topped_up,
            dose_g=weighed.dose_g,
            grind_words=_grind(dial_in, weighed.setting),
            by=act.by,
            at=act.at,
        )
        return acts.write(act, "add_dose", f"Weighed a dose: {row}", row, job=job)


def _grinding(job: Job) -> DialIn:
    facts = open_facts(job)
    if facts.dial_in is None or not facts.dial_in.built_in:
        raise Refused(NO_GRINDER)
    refuse_unsafe(facts)
    return facts.dial_in


def _length(job: Job, typed: str) -> tuple[Decimal, str]:
    scale = dosing.scale_of(job.machine.notes)
    try:
        value = scales.parse(scale, typed)
    except ValueError as wrong:
        raise Refused(str(wrong), field="length") from wrong
    return value, scales.say(scale, value)


def _grind(dial_in: DialIn, typed: str) -> str:
    try:
        return dial_in.read_setting(typed)[1]
    except ValueError as wrong:
        raise Refused(str(wrong), field="setting") from wrong


def _ask(question: str, about: str, sure: str, field: str) -> None:
    if question and sure != about:
        raise acts.Odd(f"{question} Is that so? Press again to record it.", about=about, field=field)


@dataclass(frozen=True, slots=True)
class Delivered:
    """One run of a button as typed."""

    button: str
    kind: str
    runs_with: str
    delivered_g: Decimal
    setting: str = ""
    taught_anew: bool = False
    sure: str = ""


def add_button_run(act: Act, job: Job, run: Delivered) -> JournalEntry:
    """Keep one weighed run of a button.

    :raises Refused: no such machine, not safe to power, or coffee without where the grinder stood
    :raises Odd: hardly a coffee, until a second press says yes
    """
    with acts.once(act):
        facts = open_facts(job)
        if facts.dial_in is None:
            raise Refused("A grinder alone has no button to teach.")
        refuse_unsafe(facts)
        coffee = run.runs_with == RunsWith.COFFEE
        if coffee and not run.setting.strip():
            raise Refused("Say where the grinder stood: another grind gives other grams.", field="setting")
        question = odd.delivered(run.delivered_g, facts.dial_in.target.dose_g) if coffee else ""
        _ask(question, str(run.delivered_g), run.sure, "delivered_g")
        row = ButtonTrial.objects.create(
            job=job,
            button=run.button,
            kind=run.kind,
            runs_with=run.runs_with,
            taught_anew=run.taught_anew,
            delivered_g=run.delivered_g,
            grind_words=_grind(facts.dial_in, run.setting) if coffee else "",
            by=act.by,
            at=act.at,
        )
        words = f"Weighed the button {row.button}: {measure(row.delivered_g, 'g')}"
        return acts.write(act, "add_button_run", words, row, job=job)


def open_grinder(act: Act, job: Job, *, why: str, inner_before: str, inner_after: str) -> JournalEntry:
    """Note that the grinder was opened: its readings, shots, dose trials and recipe from before count no more.

    :raises Refused: on hold, or a machine without a grinder of its own
    """
    with acts.once(act):
        if not job.machine.notes.has_grinder:
            raise Refused(NO_GRINDER)
        refuse_work_on_hold(act, job, "opening the grinder")
        row = BurrChange.objects.create(
            job=job, why=why, inner_before=inner_before, inner_after=inner_after, by=act.by, at=act.at
        )
        return acts.write(act, "open_grinder", f"Opened the grinder: {why}", row, job=job)
