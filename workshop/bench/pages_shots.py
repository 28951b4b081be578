"""Prepared rows of the Shots page: the chart and the table."""

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from workshop.bench.chart import NARROW, WIDE, CurvePoint, Drawing, SettingLabel, ShotChart, ShotPoint, draw
from workshop.bench.dialin import DialIn
from workshop.bench.models import Recipe, Shot
from workshop.bench.say import bag_words, gauge_words
from workshop.bench.words import AFTER_A_CHANGE, LEFT_OUT, Crema, Flow, Spouts, Taste, say_count
from workshop.core.templatetags.measures import measure, number
from workshop.trade import scales
from workshop.trade.coffee import dial_in, extraction, verdict
from workshop.trade.coffee.dial_in import Fit
from workshop.trade.coffee.verdict import Verdict
from workshop.trade.scales import Scale

CURVE_POINTS = 24  # enough for a smooth line at 718 px; measured by eye. House policy.

VERDICT_WORDS = {Verdict.FAST: "fast", Verdict.INSIDE: "inside", Verdict.SLOW: "slow"}


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
    if row.pressurised:
        return ShotRow(row, _ratio(row), _flow(row), "two-wall basket: time says nothing", "", _more(row))
    words = VERDICT_WORDS[verdict.verdict(row.time_s, target)]
    fair = verdict.time_at_yield_s(row.time_s, row.yield_g, target.yield_g)
    at_target = f"{VERDICT_WORDS[verdict.verdict(fair, target)]}, {measure(round(fair, 1), 's')}"
    return ShotRow(row, _ratio(row), _flow(row), words, at_target, _more(row))


def _why_left_out(row: Shot) -> str:
    return f"{left_out_word(row)}, {row.why_spoilt}" if row.why_spoilt else left_out_word(row)


def left_out_word(row: Shot) -> str:
    """Return the word for a shot that does not count: left out right after a change, else spoilt."""
    return LEFT_OUT if row.why_spoilt == AFTER_A_CHANGE else "spoilt"


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
    points = tuple(ShotPoint(_travel(scale, row), row.time_s, row.spoilt, left_out_word(row)) for row in pulled)
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


def target_words(facts: DialIn) -> str:
    """Say the aim in one line."""
    target = facts.target
    window = f"{number(target.time_low_s)} to {measure(target.time_high_s, 's')}"
    return f"{measure(target.dose_g, 'g')} in, {measure(target.yield_g, 'g')} out, {window}"
