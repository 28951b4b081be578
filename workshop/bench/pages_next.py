"""What to try next with the grinder, in a sentence that agrees with its own odds."""

from dataclasses import dataclass
from decimal import Decimal

from workshop.bench.dialin import DialIn
from workshop.bench.words import AFTER_A_CHANGE, LEFT_OUT
from workshop.core.templatetags.measures import measure, number
from workshop.core.words import listed
from workshop.trade import scales
from workshop.trade.coffee import dial_in, verdict
from workshop.trade.coffee.dial_in import Fit, NextTry, Reason
from workshop.trade.coffee.earlier import Start
from workshop.trade.coffee.sources import DOSE_AGREEMENT_G
from workshop.trade.coffee.verdict import Verdict

_COUNTS = "The first shot after a change is left out: pull it again, this one counts."
_FIRST = "Turn it while it grinds. Pour the first shot away."
_REASON = {
    Reason.START: "Nothing is pulled yet: begin in the middle of the scale.",
    Reason.DOSE: "The grinder is right: put the dose right and pull it again.",
    Reason.YIELD: "The grinder is right: stop at the target yield and pull it again.",
    Reason.AGAIN: "It is best where it stands: pull it again.",
    Reason.FINER: "Finer is more likely inside.",
    Reason.COARSER: "Coarser is more likely inside.",
    Reason.DOUBT: "The shots contradict each other: pull this one again.",
    Reason.BETWEEN_MARKS: "The target falls between two marks: change the dose by half a gram.",
    Reason.END_OF_SCALE: "The scale ends before the target: change the dose by half a gram.",
}


@dataclass(frozen=True, slots=True)
class NextToTry:
    """The sentence on top: the setting, the seconds to expect, the odds, and why."""

    head: str
    odds: str
    why: str
    note: str
    wants_shot: bool = True  # False: two shots agree, or the recipe stands


_AGREE = NextToTry("Two shots agree: make them the recipe", "", "", "", wants_shot=False)
_STANDS = NextToTry("Nothing more to try: the recipe stands", "", "", "", wants_shot=False)


def next_try(facts: DialIn, *, proved: bool = False) -> NextToTry:
    """Return what to try next; where the grinder has no scale to advise on, only which way to turn.

    Two shots that agree leave nothing to try, nor does a recipe that stands (`proved`).
    """
    if proved or facts.pair() is not None:
        return _STANDS if proved else _AGREE
    fit = facts.fit()
    if fit is None:
        return _which_way(facts)
    start = facts.start()
    found = dial_in.next_to_try(fit, start.setting if start else None)
    words = scales.say(fit.scale, found.setting)
    where = f"Grinder at {words}" if facts.built_in else f"Our grinder at {words}"
    if fit.from_prior:
        if _stands_there(facts, words):
            return NextToTry(where, "", _COUNTS, "")
        return NextToTry(where, "", _left_at(fit, start) if start else _REASON[found.reason_code], _FIRST)
    shown = found.prediction
    odds = f"{round(shown.low_s)} to {round(shown.high_s)} s, {odds_words(shown.chance_inside)}."
    head = f"{where}: about {round(shown.mean_s)} s"
    notes = (_purge(facts, found, words), _leans(facts, fit), _off_dose(facts))
    return NextToTry(head, odds, _why(fit, found), " ".join(note for note in notes if note))


def _left_at(fit: Fit, start: Start) -> str:
    """Say where earlier units of the model were left."""
    low, high = scales.say(fit.scale, start.left_low), scales.say(fit.scale, start.left_high)
    units = "last one" if start.units == 1 else f"last {start.units}"
    return f"We left the {units} of this model at {low if low == high else f'{low} to {high}'}: start here."


def _leans(facts: DialIn, fit: Fit) -> str:
    """Say that the advice leans on other machines as long as one setting of this one was pulled."""
    if len(fit.tested) > 1:
        return ""
    if not facts.earlier:
        return "One setting shows no slope yet: the step leans on grinders at large."
    units = f"{len(facts.earlier)} earlier units" if len(facts.earlier) > 1 else "1 earlier unit"
    return f"One setting shows no slope yet: the step leans on {units} of this model."


def _why(fit: Fit, found: NextTry) -> str:
    """Say why this setting: against the odds where the grinder stands now, so that the sentence can be checked."""
    reason, here = _REASON[found.reason_code], fit.predict(fit.shots[-1].setting)
    stands = scales.say(fit.scale, here.setting)
    if found.reason_code is Reason.DOUBT:
        likeliest = max(_every_mark(fit), key=lambda each: each.chance_inside)
        gain = likeliest.chance_inside - found.prediction.chance_inside
        return reason if gain < dial_in.LIKELIER else f"{reason} Only then {scales.say(fit.scale, likeliest.setting)}."
    if found.reason_code not in (Reason.FINER, Reason.COARSER):
        return reason
    if found.prediction.chance_inside - here.chance_inside < dial_in.LIKELIER:
        return f"{reason[:-1]}, but hardly more than {stands}: that one again would do."
    return f"{reason} At {stands}: {odds_words(here.chance_inside).removesuffix(' inside the target time')}."


def _every_mark(fit: Fit) -> tuple[dial_in.Prediction, ...]:
    return fit.curve(fit.scale.mark(place) for place in range(fit.scale.marks))


def _off_dose(facts: DialIn) -> str:
    """Say which shots were dosed off the reference: what is expected is for the reference dose."""
    target = facts.target.dose_g
    usable = [row for row, shot in zip(facts.rows, facts.shots, strict=True) if shot.usable]
    off = [str(row.number) for row in usable if abs(row.dose_g - target) > DOSE_AGREEMENT_G.value]
    if not off:
        return ""
    which = f"Shot {listed(off)} was" if len(off) == 1 else f"Shots {listed(off)} were"
    return f"{which} dosed off {measure(target, 'g')}: the seconds here are for {measure(target, 'g')}."


def odds_words(chance: Decimal) -> str:
    """Say a chance in tenths, as people do."""
    tenths = round(chance * 10)
    odds = {0: "hardly ever", 10: "nearly always"}.get(tenths, f"about {tenths} in 10")
    return f"{odds} inside the target time"


_TURN = {
    Verdict.FAST: ("Grind finer", "Turn it while it grinds. Pour the first shot away."),
    Verdict.SLOW: ("Grind coarser", "Turn it while it grinds. Pour the first shot away."),
    Verdict.INSIDE: ("Leave the grinder, pull it again", "Two in a row that agree make the recipe."),
}


def _which_way(facts: DialIn) -> NextToTry:
    """Advise from the last usable shot alone, brought to the target yield."""
    usable = [shot for shot in facts.shots if shot.usable]
    if facts.rows and facts.rows[-1].why_spoilt == AFTER_A_CHANGE:
        return NextToTry("Leave the grinder, pull it again", "", _COUNTS, "")
    if not usable:
        return NextToTry("Pull a first shot", "", "It tells which way to turn.", "")
    last = usable[-1]
    head, note = _TURN[verdict.verdict_at_yield(last.time_s, last.yield_g, facts.target)]
    ran = f"The last one ran {number(last.time_s)} s to {number(last.yield_g)} g."
    return NextToTry(head, ran, "The model notes have no scale to advise on.", note)


def _purge(facts: DialIn, found: NextTry, words: str) -> str:
    if _stands_there(facts, words):
        return _COUNTS
    if found.tried:
        return "Pulled here before."
    far = " Further than one tested step: expect surprises." if found.extrapolates else ""
    return f"Never pulled at {words}. Turn it while it grinds. Pour the first shot away.{far}"


def _stands_there(facts: DialIn, words: str) -> bool:
    """Say whether the last shot was pulled at this setting and left out as the first after the change."""
    last = facts.rows[-1] if facts.rows else None
    return last is not None and last.why_spoilt == AFTER_A_CHANGE and last.setting_words == words


def contradiction(facts: DialIn) -> str:
    """Say that the shots cannot all be so, or which one the others speak against, or nothing."""
    fit = facts.fit()
    if fit is None:
        return ""
    if dial_in.contradiction(fit) is not None:
        return "Finer ran faster: a channel, a wrong dose, old grounds or worn burrs. Check which way is finer."
    return _wild(facts, fit)


def _wild(facts: DialIn, fit: Fit) -> str:
    if not fit.wild:
        return ""
    pulled = zip(facts.rows, facts.shots, strict=True)
    usable = [row for row, shot in pulled if shot.usable and row.setting is not None]
    row = usable[fit.wild[-1]]
    about = round(fit.predict(fit.shots[fit.wild[-1]].setting).mean_s)
    return f"Shot {row.number} ran {number(row.time_s)} s where about {about} was likely. It counts for little."


# --- each setting's chance -------------------------------------------------------------------------------

AROUND = 3  # marks shown either side of the one to try: what a person may still turn to. House policy.


@dataclass(frozen=True, slots=True)
class ChanceRow:
    """One setting in words: about how long it will run, its band, its odds, and whether it was pulled."""

    setting: str
    about: str
    band: str
    odds: str
    pulled: str
    to_try: bool


def chances(facts: DialIn) -> list[ChanceRow]:
    """Return the marks around the one to try, finer first; nothing before the first shot on a scale."""
    fit = facts.fit()
    if fit is None or fit.from_prior:
        return []
    found = dial_in.next_to_try(fit).setting
    marks = [fit.scale.mark(place) for place in range(fit.scale.marks)]
    at = marks.index(scales.snap(fit.scale, found))
    near = sorted(marks[max(at - AROUND, 0) : at + AROUND + 1], key=lambda mark: -scales.fineness(fit.scale, mark))
    return [_chance_row(facts, fit, mark, to_try=mark == marks[at]) for mark in near]


def _pulled(facts: DialIn, fit: Fit, mark: Decimal) -> str:
    """Say how often a setting was pulled; where none of it counts, that too."""
    counting = sum(shot.setting == mark for shot in fit.shots)
    times = counting or sum(row.setting == mark for row in facts.rows if row.spoilt)
    words = "never" if not times else "once" if times == 1 else f"{times} times"
    return words if counting or not times else f"{words}, {LEFT_OUT}"


def _chance_row(facts: DialIn, fit: Fit, mark: Decimal, *, to_try: bool) -> ChanceRow:
    shown = fit.predict(mark)
    return ChanceRow(
        setting=scales.say(fit.scale, mark),
        about=f"about {round(shown.mean_s)} s",
        band=f"{round(shown.low_s)} to {round(shown.high_s)} s",
        odds=odds_words(shown.chance_inside).removesuffix(" inside the target time"),
        pulled=_pulled(facts, fit, mark),
        to_try=to_try,
    )
