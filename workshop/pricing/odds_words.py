"""What own jobs say of a model, in sentences that say how few they are."""

from dataclasses import dataclass
from decimal import Decimal

from workshop.core.models import Shop
from workshop.core.templatetags.measures import money, short_day
from workshop.pricing.odds import CASES_SHOWN, Evidence, PartOdds, Past
from workshop.pricing.rows import duration
from workshop.trade.money.odds import FEWEST_ALONE, FEWEST_FOR_A_RATE, Cases, at_most, middle
from workshop.trade.money.rounding import round_half_up


@dataclass(frozen=True, slots=True)
class Told:
    """What own jobs say of a model: one sentence on how much that is worth, then lines and the newest cases."""

    worth: str
    lines: list[tuple[str, str]]
    cases: list[tuple[str, str, str]]


def in_a_hundred(share: Decimal) -> str:
    """Say a share as a whole number in a hundred."""
    return str(round_half_up(share * 100))


def told(known: Evidence, shop: Shop) -> Told:
    """Return what own jobs say, in sentences that say how few they are."""
    lines = [("Work", _work_words(known))]
    lines += [(part.name, _part_words(part, known, shop)) for part in known.parts]
    cases = [_case(past, shop) for past in known.sold[:CASES_SHOWN]]
    return Told(_worth(known), lines, cases)


def hints(known: Evidence, shop: Shop) -> dict[str, str]:
    """Return what own jobs say under the boxes of price and chance; no typed word is in it."""
    return {
        "price_minor": sold_words(known, shop),
        "parts_minor": f"From {_cases_words(known)}." if known.parts else "",
        "not_mended_percent": _failed_words(known),
    }


def _cases_words(known: Evidence) -> str:
    own = sum(past.mended for past in known.own)
    kind = sum(past.mended for past in known.kind)
    return f"{_jobs(own)} of this model" + (f" and {kind} more of its kind" if kind else "")


def _worth(known: Evidence) -> str:
    own, kind = len(known.own), len(known.kind)
    if not own and not kind:
        return "No past cases: the sum uses your own guesses."
    if not own:
        return f"No past cases of this model. {_jobs(kind)} of its kind stand in for it."
    few = " Under 30, a share is a hint and no rate." if own < FEWEST_FOR_A_RATE.value else ""
    more = f", {kind} more of its kind" if kind else ""
    return f"{_jobs(own)} of this model{more}.{few}"


def _leaning(known: Evidence) -> str:
    """Say what else a reckoned share leans on: other machines of the kind, or the house's guess."""
    return f"leaning on {_others(len(known.kind))} of its kind" if known.kind else "leaning on the house's guess"


def _others(count: int) -> str:
    return "1 other machine" if count == 1 else f"{count} other machines"


def _jobs(count: int) -> str:
    return "1 past job" if count == 1 else f"{count} past jobs"


def sold_words(known: Evidence, shop: Shop) -> str:
    """Say what machines of the model fetched, and how few they are."""
    fetched = known.fetched
    if fetched is None:
        return "None sold yet: the price is your own guess."
    low, high = money(fetched.low_minor, shop), money(fetched.high_minor, shop)
    if fetched.count == 1:
        return f"Sold for {low}, once: too few to tell a spread."
    if fetched.interval is None:
        return f"Two sold, for {low} and {high}: too few to tell more than the range."
    inner = f"{money(fetched.interval.low_minor, shop)} to {money(fetched.interval.high_minor, shop)}"
    sure = in_a_hundred(fetched.interval.chance)
    middle = money(fetched.median_minor, shop)
    seen = f"{fetched.count} sold, {low} to {high}, half of them above {middle}"
    return f"{seen}; the true middle lies in {inner}, {sure} times in 100."


def _work_words(known: Evidence) -> str:
    """Say what the own jobs took, as they are; then what the sum reckons with where they are too few."""
    own, told = known.own_minutes, known.minutes
    if told is None:
        return _untimed_words(known)
    if not own:
        return f"None of this model yet; {_spread(known.kind_minutes, 'of its kind')}"
    if len(own) >= FEWEST_ALONE.value:
        return _spread(own, "of this model")
    took = duration(own[0]) if len(own) == 1 else f"{duration(own[0])} and {duration(own[1])}"
    seen = f"{'One job' if len(own) == 1 else 'Two jobs'} of this model, {took}"
    if not told.leans_on:
        return f"{seen}: too few to tell a spread."
    return f"{seen}; reckoned {duration(told.half)}, leaning on {_others(told.leans_on)} of its kind."


def _spread(minutes: list[int], whose: str) -> str:
    if len(minutes) < FEWEST_ALONE.value:
        took = " and ".join(duration(one) for one in sorted(minutes))
        return f"{_jobs(len(minutes))} {whose}, {took}: too few to tell a spread."
    half, most = duration(middle(minutes)), duration(at_most(minutes))
    return f"{_jobs(len(minutes))} {whose}: half of them took up to {half}, 8 in 10 up to {most}."


def _untimed_words(known: Evidence) -> str:
    if known.usual_minutes is not None:
        return f"{duration(known.usual_minutes)}, as the model notes say; no job has ended yet."
    return "No job has ended yet: the time is your own guess."


def _part_words(part: PartOdds, known: Evidence, shop: Shop) -> str:
    return f"{_times(part.own)}; reckoned {money(part.expected_minor, shop)}, {_leaning(known)}"


def _times(cases: Cases) -> str:
    return f"{cases.hits} of {_jobs(cases.of)}" if cases.of else "other models of the kind wanted it"


def _failed_words(known: Evidence) -> str:
    low, high = known.not_mended.interval()
    share = in_a_hundred(known.not_mended.mean)
    span = f"about 8 times in 10 between {in_a_hundred(low)} and {in_a_hundred(high)}"
    if not known.own and not known.kind:
        return f"Reckoned {share} in 100, the house's own guess."
    seen = f"{_times(known.not_mended_cases)} of this model" if known.own else "None of this model yet; by its kind"
    return f"{seen}: reckoned {share} in 100, {_leaning(known)}; {span}."


def _case(past: Past, shop: Shop) -> tuple[str, str, str]:
    words = f"sold for {money(past.sold_minor, shop)}, {short_day(past.ended_at)}, {duration(past.minutes)} of work"
    return past.name, past.url, words
