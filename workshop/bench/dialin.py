"""From rows to the trade's shots: scale and target of a model, the fit, and which pair a recipe may rest on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from functools import lru_cache
from statistics import median
from typing import Literal, cast

from workshop.bench.models import Recipe, Shot
from workshop.core.models import ModelNotes
from workshop.core.words import Kind
from workshop.trade import scales
from workshop.trade.coffee import dial_in, sources, verdict
from workshop.trade.coffee.earlier import EarlierUnit, Start, prior_from, start_from
from workshop.trade.scales import Scale, ScaleKind

TWO_WALLS = ("two wall", "two-wall", "double wall", "dual wall", "dual-wall", "pressuri")


@dataclass(frozen=True, slots=True)
class DialIn:
    """The shots of one job as the trade sees them; `scale` is None where settings are words only.

    `set_apart`: shots from before the grinder was last opened. They are kept and count for nothing.
    """

    rows: list[Shot]
    shots: list[dial_in.Shot]
    target: dial_in.Target
    scale: Scale | None
    built_in: bool
    earlier: tuple[EarlierUnit, ...] = ()  # of the same model; read on the Shots page only
    set_apart: Sequence[Shot] = ()  # from before the grinder was last opened

    def read_setting(self, typed: str) -> tuple[Decimal | None, str]:
        """Return a setting on its scale, with its words; words only without one. :raises ValueError: in a sentence."""
        if self.scale is None:
            return None, " ".join(typed.split())
        value = scales.parse(self.scale, typed)
        return value, scales.say(self.scale, value)

    def run(self, recipe: Recipe) -> list[Shot]:
        """Return the shots a recipe rests on, first to last; what was no test between them is left out."""
        places = self._places(recipe)
        if places is None:
            return []
        stretch = range(places[0], places[1] + 1)
        return [self.rows[place] for place in stretch if self.shots[place].usable]

    def _places(self, recipe: Recipe) -> tuple[int, int] | None:
        at = {row.pk: place for place, row in enumerate(self.rows)}
        first, second = at.get(recipe.first_shot_id), at.get(recipe.second_shot_id)
        return None if first is None or second is None else (first, second)

    def pair(self) -> tuple[Shot, Shot] | None:
        """Return the two rows a recipe may rest on, or None."""
        places = verdict.pair_places(self.shots, self.target)
        return (self.rows[places[0]], self.rows[places[1]]) if places else None

    def why_not(self) -> tuple[verdict.WhyNot, ...]:
        """Return what keeps the last two usable shots from being a recipe."""
        return verdict.why_not(self.shots, self.target)

    def fit(self) -> dial_in.Fit | None:
        """Return the fit, or None without a scale that has a finer side."""
        if self.scale is None or self.scale.finer is None:
            return None
        shots = tuple(shot for row, shot in zip(self.rows, self.shots, strict=True) if row.setting is not None)
        return _fitted(shots, self.target, self.scale, self.earlier)

    def start(self) -> Start | None:
        """Return where earlier units of the model say to begin, or None without any."""
        if self.scale is None or self.scale.finer is None:
            return None
        return start_from(self.earlier, self.scale)

    def holds(self, recipe: Recipe) -> bool:
        """Say whether a recipe's two shots still stand, and no later shot at that setting fell outside."""
        places = self._places(recipe)
        if places is None:
            return False
        second = places[1]
        setting = self.shots[second].setting
        later = [shot for shot in self.shots[second + 1 :] if shot.usable and shot.setting == setting]
        return all(verdict.verdict(shot.time_s, self.target) is verdict.Verdict.INSIDE for shot in later)


def dial_in_of(notes: ModelNotes, rows: Sequence[Shot], opened_at: datetime | None = None) -> DialIn:
    """Return the shots of one job, in the order pulled, against the model's target.

    `opened_at`: when the grinder was last opened; shots from before are set apart.
    """
    kept = [row for row in rows if opened_at is None or row.at > opened_at]
    apart = [row for row in rows if opened_at is not None and row.at <= opened_at]
    target, scale = target_of(notes, kept), scale_of(notes)
    return DialIn(kept, trade_shots(kept), target, scale, notes.has_grinder, set_apart=apart)


def scale_of(notes: ModelNotes) -> Scale | None:
    """Return the grinder's scale as the model notes give it, or None where they do not (yet)."""
    if not notes.grind_scale or notes.grind_low is None or notes.grind_high is None or not notes.grind_step:
        return None
    finer = cast(Literal["LOWER", "HIGHER"] | None, notes.grind_finer or None)
    try:
        return Scale(ScaleKind(notes.grind_scale), notes.grind_low, notes.grind_high, notes.grind_step, finer)
    except ValueError:
        return None


def target_of(notes: ModelNotes, rows: Sequence[Shot]) -> dial_in.Target:
    """Return the aim: the model's reference recipe; what it leaves open from the shots, then from published means."""
    low, high = notes.time_low_s, notes.time_high_s
    if low is None or high is None or not 0 < low < high:
        low, high = sources.TARGET_LOW_S.value, sources.TARGET_HIGH_S.value
    doses = [row.dose_g for row in rows if row.dose_g > 0 and not row.spoilt]
    usual = median(doses) if doses else sources.TARGET_DOSE_G.value
    dose = notes.dose_g if notes.dose_g else Decimal(usual)
    return dial_in.Target(low, high, dose, notes.yield_g or dose * sources.TARGET_RATIO.value)


def is_pressurised(basket: str) -> bool:
    """Say whether a basket's words name two walls: its one small exit sets the time, whatever the grind."""
    return any(word in basket.lower() for word in TWO_WALLS)


def pulls_shots(notes: ModelNotes) -> bool:
    """Say whether a machine makes coffee at all (a grinder alone does not)."""
    return bool(notes.kind != Kind.GRINDER)


def trade_shots(rows: Sequence[Shot]) -> list[dial_in.Shot]:
    """Return rows as the trade's shots.

    Settings in words only get a place of their own each, so that two of one name count as one setting.
    """
    names: dict[str, Decimal] = {}
    return [
        dial_in.Shot(
            row.setting
            if row.setting is not None
            else names.setdefault(row.setting_words.lower(), Decimal(-len(names) - 1)),
            row.dose_g,
            row.yield_g,
            row.time_s,
            spoilt=row.spoilt,
            pressurised=row.pressurised,
            bag=row.coffee_id or 0,
            day=row.at.toordinal(),
        )
        for row in rows
    ]


@lru_cache(maxsize=256)  # a page asks several times, and the next page of the same machine again
def _fitted(
    shots: tuple[dial_in.Shot, ...], target: dial_in.Target, scale: Scale, earlier: tuple[EarlierUnit, ...]
) -> dial_in.Fit:
    return dial_in.fit(shots, target, scale, prior_from(earlier, target, scale))
