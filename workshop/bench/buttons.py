"""Runs of taught buttons, gathered into series: what each delivers, how evenly, and whether that still holds."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from workshop.bench.grind_moves import Grind, same
from workshop.bench.models import ButtonTrial
from workshop.bench.words import ButtonKind, RunsWith
from workshop.trade.coffee import buttons
from workshop.trade.coffee.buttons import ButtonResult


@dataclass(frozen=True, slots=True)
class Series:
    """Runs of one button, taught once, at one grind. `void`: the sentence that says why it holds no more."""

    runs: tuple[ButtonTrial, ...]
    result: ButtonResult
    void: str = ""

    @property
    def last(self) -> ButtonTrial:
        """Return the latest run, which carries what is common to all."""
        return self.runs[-1]

    @property
    def with_coffee(self) -> bool:
        """Say whether coffee was in the basket: only then the grams are what a buyer gets."""
        return bool(self.last.runs_with == RunsWith.COFFEE)


def series_of(rows: Iterable[ButtonTrial], grind: Grind, target_yield_g: Decimal | None) -> list[Series]:
    """Return the series of a job in the order begun, each judged; `target_yield_g` is held against coffee only."""
    gathered: list[list[ButtonTrial]] = []
    for row in rows:
        mine = next(
            (runs for runs in reversed(gathered) if same(runs[-1].button, row.button) and _like(runs, row)), None
        )
        if mine is None or row.taught_anew:
            gathered.append([row])
        else:
            mine.append(row)
    return [_judged(tuple(runs), gathered[at + 1 :], grind, target_yield_g) for at, runs in enumerate(gathered)]


def _like(runs: list[ButtonTrial], row: ButtonTrial) -> bool:
    last = runs[-1]
    timed = row.kind == ButtonKind.TIMED
    return (last.kind, last.runs_with) == (row.kind, row.runs_with) and (
        not timed or same(last.grind_words, row.grind_words)
    )


def _judged(
    runs: tuple[ButtonTrial, ...], after: list[list[ButtonTrial]], grind: Grind, target_yield_g: Decimal | None
) -> Series:
    coffee = runs[-1].runs_with == RunsWith.COFFEE
    grams = [run.delivered_g for run in runs]
    target_g = target_yield_g if coffee else None
    result = buttons.button_result(grams, target_g, buttons.tolerance_g(coffee=coffee))
    return Series(runs, result, _void(runs, after, grind))


def _void(runs: tuple[ButtonTrial, ...], after: list[list[ButtonTrial]], grind: Grind) -> str:
    """A button taught anew is another button; a timed one with coffee stops at other grams at another grind."""
    last = runs[-1]
    if any(later[0].taught_anew and same(later[0].button, last.button) for later in after):
        return "It was taught anew since."
    if last.kind != ButtonKind.TIMED or last.runs_with != RunsWith.COFFEE:
        return ""
    if grind.opened_since(runs[0].at):
        return "The grinder was opened since: weigh it again."
    moved = grind.moved_since(runs[0].at, last.grind_words)
    return f"The grinder was moved to {moved} since: weigh it again." if moved else ""


def proved(series: Iterable[Series], grind_words: str, *, built_in: bool) -> list[Series]:
    """Return what a buyer may rely on: with coffee, run twice at least, not void, a timed one at the recipe's grind.

    A timed button taught on a grinder the buyer does not get says nothing.
    """
    kept = {}
    for each in series:
        timed_elsewhere = each.last.kind == ButtonKind.TIMED and not (
            built_in and same(each.last.grind_words, grind_words)
        )
        if each.with_coffee and not each.void and len(each.runs) > 1 and not timed_elsewhere:
            kept[each.last.button.lower()] = each  # the latest of a button
    return list(kept.values())
