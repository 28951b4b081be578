"""Prepared rows of the Shots page: the chart, the table, the recipe offered."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from workshop.bench.chart import NARROW, WIDE, CurvePoint, Drawing, SettingLabel, ShotChart, ShotPoint, draw
from workshop.bench.dialin import DialIn
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import Recipe, SealWork, Shot
from workshop.bench.models.corrections import STANDS
from workshop.bench.say import bag_words, gauge_words
from workshop.bench.services.shots import WORDS
from workshop.bench.words import AFTER_A_CHANGE, Crema, Flow, Spouts, Taste, say_count
from workshop.core.models import Job
from workshop.core.templatetags.measures import measure, number
from workshop.trade import scales
from workshop.trade.coffee import dial_in, extraction, verdict
from workshop.trade.coffee.dial_in import Fit
from workshop.trade.coffee.sources import DOSE_AGREEMENT_G
from workshop.trade.coffee.verdict import Verdict, WhyNot
from workshop.trade.scales import Scale

CURVE_POINTS = 24  # enough for a smooth line at 718 px; measured by eye. House policy.

_VERDICT = {Verdict.FAST: "fast", Verdict.INSIDE: "inside", Verdict.SLOW: "slow"}


@dataclass(frozen=True, slots=True)
class ShotRow:
    """One line of the table of shots, and under it what was seen, tasted and noted."""

    shot: Shot
    ratio: str
    flow: str
    words: str
    at_target: str
    more: str


def rows(facts: DialIn) -> list[ShotRow]:
    """Return the shots, newest first, each with ratio, flow and its verdict as pulled and at the target yield."""
    return [_row(row, facts) for row in reversed(facts.rows)]


def _row(row: Shot, facts: DialIn) -> ShotRow:
    target = facts.target
    if row.spoilt:
        ran = (_ratio(row), _flow(row)) if row.yield_g else ("", "")
        return ShotRow(row, *ran, _why_left_out(row), "", _more(row))
    if row.yield_g == 0:
        return ShotRow(row, "", "", "choked", "", _more(row))
    words = "two-wall basket: time says nothing" if row.pressurised else _VERDICT[verdict.verdict(row.time_s, target)]
    fair = verdict.time_at_yield_s(row.time_s, row.yield_g, target.yield_g)
    at_target = "" if row.pressurised else f"{_VERDICT[verdict.verdict(fair, target)]}, {measure(round(fair, 1), 's')}"
    return ShotRow(row, _ratio(row), _flow(row), words, at_target, _more(row))


def _why_left_out(row: Shot) -> str:
    if row.why_spoilt == AFTER_A_CHANGE:
        return f"left out, {AFTER_A_CHANGE}"
    return f"spoilt, {row.why_spoilt}" if row.why_spoilt else "spoilt"


def _more(row: Shot) -> str:
    """Say what else is known of a shot, a sentence a kind: times and strength, the gauge, the look, the taste."""
    numbers = [f"first drip {measure(row.first_drip_s, 's')}" if row.first_drip_s is not None else ""]
    if row.tds_percent is not None:
        share = extraction.extraction_yield_percent(row.dose_g, row.yield_g, row.tds_percent)
        numbers += [f"strength {measure(row.tds_percent, '%')}", f"extraction {measure(round(share, 1), '%')}"]
    gauge = gauge_words(row)
    looked = ((Flow, row.flow), (Crema, row.crema), (Spouts, row.spouts))
    seen = [f"gauge {gauge}" if gauge else "", *(str(words(code).label) for words, code in looked if code)]
    tasted = [str(Taste(code).label) for code in row.tastes.split()]
    sentences = [", ".join(filter(None, said)) for said in (numbers, seen, tasted, [row.note])]
    return " ".join(f"{words[0].upper()}{words[1:].rstrip('.')}." for words in sentences if words)


def carried(facts: DialIn, today: date) -> str:
    """Say what is taken to be as at the last shot: grinder, basket, coffee and how long its bag is open."""
    if not facts.rows:
        return ""
    last = facts.rows[-1]
    said = [f"As at shot {last.number}: grinder at {last.setting_words}", last.basket]
    if last.coffee is not None:
        said.append(bag_words(last.coffee))
        if last.coffee.opened_on is not None:
            said.append(f"open {say_count((today - last.coffee.opened_on).days, 'day')}")
    return f"{', '.join(filter(None, said))}."


def _ratio(row: Shot) -> str:
    return f"1 : {number(round(extraction.ratio(row.dose_g, row.yield_g), 1))}"


def _flow(row: Shot) -> str:
    return number(round(extraction.flow_g_s(row.yield_g, row.time_s), 2))


# --- the chart -------------------------------------------------------------------------------------------


def chart(facts: DialIn, recipe: Recipe | None = None) -> dict[str, Drawing] | None:
    """Return the chart drawn wide and narrow, or None before the first shot on a scale. A recipe is ringed."""
    fit = facts.fit()
    pulled = [row for row in facts.rows if row.setting is not None and not row.pressurised and row.yield_g > 0]
    if fit is None or not pulled:
        return None
    found = dial_in.next_to_try(fit)
    to_try = chosen = None
    if recipe is not None and recipe.second_shot.setting is not None:
        chosen = ShotPoint(scales.travel(fit.scale, recipe.second_shot.setting), recipe.time_s)
    elif not fit.from_prior and not found.tried and facts.pair() is None:
        to_try = ShotPoint(scales.travel(fit.scale, found.setting), found.prediction.mean_s)
    shown = replace(_chart(fit, pulled, to_try=to_try, chosen=chosen), window_words="target time")
    return {"wide": draw(shown, WIDE), "narrow": draw(shown, NARROW)}


def _chart(
    fit: Fit, pulled: list[Shot], *, to_try: ShotPoint | None = None, chosen: ShotPoint | None = None
) -> ShotChart:
    scale = fit.scale
    points = tuple(ShotPoint(_travel(scale, row), row.time_s, row.spoilt) for row in pulled)
    ends = [point.setting for point in points] + ([to_try.setting] if to_try else [])
    labels = {_travel(scale, row): row.setting_words for row in pulled}
    if to_try is not None:
        labels[to_try.setting] = scales.say(scale, scale.mark(_mark_of(scale, to_try.setting)))
    return ShotChart(
        points=points,
        curve=_curve(fit, min(ends), max(ends)),
        window_low_s=fit.target.time_low_s,
        window_high_s=fit.target.time_high_s,
        chosen=chosen,
        to_try=to_try,
        labels=tuple(SettingLabel(at, words) for at, words in sorted(labels.items())),
        finer=scale.finer or "LOWER",
        setting_words="grinder setting" if to_try or not chosen else "grinder",
    )


def _travel(scale: Scale, row: Shot) -> Decimal:
    if row.setting is None:
        raise ValueError("A shot on the chart has a setting.")
    return scales.travel(scale, row.setting)


def _mark_of(scale: Scale, travel: Decimal) -> int:
    return round(travel / scale.step)


def _curve(fit: Fit, low: Decimal, high: Decimal) -> tuple[CurvePoint, ...]:
    """Return the fitted line over the marks that were tested, one step beyond at each end where the scale goes on."""
    if fit.from_prior:
        return ()
    scale = fit.scale
    first, last = _mark_of(scale, low) - 1, _mark_of(scale, high) + 1
    marks = [at for at in range(first, last + 1) if 0 <= at <= _mark_of(scale, scale.span)]
    stride = max(1, len(marks) // CURVE_POINTS)
    settings = [scale.mark(at) for at in marks[::stride]]
    return tuple(CurvePoint(scales.travel(scale, p.setting), p.mean_s, p.low_s, p.high_s) for p in fit.curve(settings))


def sheet_chart(facts: DialIn, recipe: Recipe) -> ShotChart | None:
    """Return the buyer's chart: usable shots, the recipe's ringed, no spoilt one."""
    fit = facts.fit()
    pulled = [row for row in facts.rows if row.setting is not None and not row.pressurised and not row.spoilt]
    if fit is None or fit.from_prior or recipe.second_shot.setting is None:
        return None
    chosen = ShotPoint(scales.travel(fit.scale, recipe.second_shot.setting), recipe.time_s)
    return _chart(fit, pulled, chosen=chosen)


def step_seconds(facts: DialIn, recipe: Recipe) -> int | None:
    """Return what one step of the grinder moves a shot near the recipe, where two tested settings say so."""
    fit = facts.fit()
    at = recipe.second_shot.setting
    if fit is None or at is None or len(set(fit.tested)) < 2:
        return None
    near = [s for s in (scales.next_finer(fit.scale, at), scales.next_coarser(fit.scale, at)) if s is not None]
    here = fit.predict(at).mean_s
    moves = [abs(fit.predict(setting).mean_s - here) for setting in near if not fit.extrapolates(setting)]
    return round(sum(moves) / len(moves)) if moves and round(sum(moves) / len(moves)) > 0 else None


# --- the recipe ------------------------------------------------------------------------------------------


def why_not(facts: DialIn) -> list[str]:
    """Return, in sentences, what keeps the last two usable shots from being a recipe."""
    low, high = number(facts.target.time_low_s), number(facts.target.time_high_s)
    sentences: dict[WhyNot, str] = {
        WhyNot.TOO_FEW_SHOTS: "Two usable shots in a row are wanted.",
        WhyNot.OUTSIDE_TIME: f"Both must run {low} to {high} s.",
        WhyNot.DO_NOT_AGREE: "They must agree within 3 s.",
        WhyNot.SETTING_MOVED: "Both must be pulled at one grinder setting.",
        WhyNot.OUTSIDE_YIELD: "Both must weigh out inside the yield band.",
        WhyNot.DOSES_DIFFER: "Both must be dosed alike, within half a gram.",
    }
    return [sentences[reason] for reason in facts.why_not()]


def proposed(job: Job, facts: ProveFacts) -> dict[str, Any]:
    """Return the words of a new recipe: what this unit's own readings say, or an earlier recipe of it, else empty.

    What the model notes say is a hint beside the box (`notes_say`), for the sheet prints what stands here as this
    unit's own. Only how to go about it (blank shots, back to coffee) comes from the notes.
    """
    notes, readings = job.machine.notes, facts.states
    if facts.recipe is not None and recipe_to_change(facts) is not None:
        return {name: getattr(facts.recipe, name) for name in (*WORDS, "version")}
    ready, steam, back = (_value(readings, code) for code in ("ready", "steam_ready", "back_to_coffee"))
    last = facts.recipe
    return {
        "basket": _basket(facts),
        "dose_tolerance_g": last.dose_tolerance_g if last else DOSE_AGREEMENT_G.value,
        "portions": last.portions if last else 1,
        "dose_dial": last.dose_dial if last else "",
        "tamp_cue": last.tamp_cue if last else "",
        "lock_in": _lock_in(job) or (last.lock_in if last else ""),
        "gauge_zone": last.gauge_zone if last else "",
        "ready_low_min": ready if ready is not None else (last.ready_low_min if last else None),
        "ready_high_min": last.ready_high_min if last else None,
        "blank_shots": notes.blank_shots,
        "steam_ready_s": steam,
        "back_to_coffee_s": back,
        "back_to_coffee": notes.back_to_coffee,
    }


def notes_say(job: Job) -> dict[str, str]:
    """Return what the model notes say of words the recipe wants of this unit, by the name of the box."""
    notes = job.machine.notes
    low, high = notes.warm_up_low_min, notes.warm_up_high_min
    minutes = " to ".join(number(each) for each in (low, high) if each is not None)
    says = {
        "tamp_cue": notes.tamp_cue,
        "gauge_zone": f"{notes.gauge_from} to {notes.gauge_to}" if notes.has_gauge and notes.gauge_from else "",
        "ready_low_min": f"{minutes} min" if minutes else "",
    }
    return {name: f"The model notes say {words}. Type what this one does." for name, words in says.items() if words}


def recipe_to_change(facts: ProveFacts) -> Recipe | None:
    """Return the standing recipe where it rests on the pair of today: then only its words are put right."""
    pair = facts.dial_in.pair() if facts.dial_in else None
    recipe = facts.recipe if facts.recipe_holds() else None
    if recipe is None or pair is None:
        return recipe
    return recipe if recipe.second_shot_id == pair[1].pk else None


def _value(states: Any, code: str) -> Decimal | None:
    standing = states.get(code)
    return standing.reading.value if standing is not None and standing.reading is not None else None


def _basket(facts: ProveFacts) -> str:
    return facts.dial_in.rows[-1].basket if facts.dial_in and facts.dial_in.rows else ""


def _lock_in(job: Job) -> str:
    mine = SealWork.objects.filter(STANDS, job=job, position__is_group=True)
    answered = mine.exclude(lock_in_clock="").order_by("-pk").first()
    return answered.lock_in_clock if answered else ""


def left_set_at(facts: DialIn) -> str:
    """Return where the grinder stands now: the last shot's setting."""
    return facts.rows[-1].setting_words if facts.rows else ""


def target_words(facts: DialIn) -> str:
    """Say the aim in one line."""
    target = facts.target
    window = f"{number(target.time_low_s)} to {measure(target.time_high_s, 's')}"
    return f"{measure(target.dose_g, 'g')} in, {measure(target.yield_g, 'g')} out, {window}"
