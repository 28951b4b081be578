"""Which shots may carry a recipe, in sentences that name the shot; and what this machine's readings say of it."""

from collections.abc import Collection
from decimal import Decimal

from workshop.bench.dialin import DialIn
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import Shot
from workshop.bench.words import AFTER_A_CHANGE, LEFT_OUT
from workshop.core.templatetags.measures import NBSP, measure, number
from workshop.core.words import listed
from workshop.trade.coffee import verdict
from workshop.trade.coffee.sources import DOSE_AGREEMENT_G, PAIR_AGREEMENT_S, YIELD_BAND_SHARE
from workshop.trade.coffee.verdict import Fault, WhyNot

# Readings of Prove that a recipe takes as they were measured, by the recipe's column.
MEASURED = {"ready_low_min": "ready", "steam_ready_s": "steam_ready", "back_to_coffee_s": "back_to_coffee"}


def measured(facts: ProveFacts) -> dict[str, Decimal]:
    """Return what was measured on this machine and is not typed again, by the recipe's column."""
    found = {}
    for column, code in MEASURED.items():
        standing = facts.states.get(code)
        if standing is not None and standing.reading is not None and standing.reading.value is not None:
            found[column] = standing.reading.value
    return found


def yield_band_g(target_g: Decimal) -> tuple[Decimal, Decimal]:
    """Return the least and the most that a shot may weigh out: the target give or take a tenth, to 0.1 g."""
    either_side = target_g * YIELD_BAND_SHARE.value
    return round(target_g - either_side, 1), round(target_g + either_side, 1)


def refusals(facts: DialIn, chosen: Collection[int]) -> list[str]:
    """Return why these shots (by id) are no recipe, a sentence a reason, each naming its shots; none when they are."""
    at = {row.pk: place for place, row in enumerate(facts.rows)}
    gone = [row for row in facts.set_apart if row.pk in chosen]
    if gone:
        return [f"{_shots(gone)} {_was(gone)} pulled before the grinder was opened."]
    if any(pk not in at for pk in chosen):
        return ["A shot you chose was taken out since. Choose again."]
    places = [at[pk] for pk in chosen]
    return [_sentence(fault, facts, places) for fault in verdict.run_faults(facts.shots, places, facts.target)]


def _sentence(fault: Fault, facts: DialIn, places: list[int]) -> str:
    rows = [facts.rows[place] for place in fault.places]
    target, many = facts.target, _shots(rows)
    window = f"{number(target.time_low_s)} to {measure(target.time_high_s, 's')}"
    band = " to ".join(number(end) for end in yield_band_g(target.yield_g))
    times = listed(number(row.time_s) for row in rows)
    if fault.why is WhyNot.NO_TEST:
        return " ".join(f"Shot {row.number} {_no_test(row)}." for row in rows)
    if fault.why is WhyNot.SETTING_MOVED:
        first = facts.rows[min(places)]
        at = listed(dict.fromkeys(row.setting_words for row in rows))
        return f"{many} {_was(rows)} pulled at {at}, shot {first.number} at {first.setting_words}."
    if fault.why in (WhyNot.DO_NOT_AGREE, WhyNot.DOSES_DIFFER):
        return _apart(fault.why, rows)
    return {
        WhyNot.TOO_FEW_SHOTS: "Choose two shots in a row, or more.",
        WhyNot.LEFT_BETWEEN: f"{many} {'lies' if len(rows) == 1 else 'lie'} between and {_was(rows)} not chosen.",
        WhyNot.OUTSIDE_TIME: f"{many} ran {times}{NBSP}s, outside {window}.",
        WhyNot.OUTSIDE_YIELD: (
            f"{many} weighed out {listed(number(row.yield_g) for row in rows)}{NBSP}g, outside {band}{NBSP}g."
        ),
        WhyNot.UNDONE: f"{many}, pulled later at that setting, ran {times}{NBSP}s: outside {window}.",
    }[fault.why]


def _apart(why: WhyNot, rows: list[Shot]) -> str:
    if why is WhyNot.DOSES_DIFFER:
        off_g = max(row.dose_g for row in rows) - min(row.dose_g for row in rows)
        return (
            f"{_shots(rows)} were dosed {measure(off_g, 'g')} apart, more than {measure(DOSE_AGREEMENT_G.value, 'g')}."
        )
    off_s = max(row.time_s for row in rows) - min(row.time_s for row in rows)
    return f"{_shots(rows)} ran {measure(off_s, 's')} apart, more than {measure(PAIR_AGREEMENT_S.value, 's')}."


def _no_test(row: Shot) -> str:
    if row.spoilt:
        first = row.why_spoilt == AFTER_A_CHANGE
        return f"was {LEFT_OUT}, {AFTER_A_CHANGE}" if first else "was spoilt"
    return "came from a two-wall basket: its time says nothing" if row.pressurised else "choked"


def _was(rows: Collection[Shot]) -> str:
    return "was" if len(rows) == 1 else "were"


def _shots(rows: Collection[Shot]) -> str:
    return f"Shot{'' if len(rows) == 1 else 's'} {listed(str(row.number) for row in rows)}"
