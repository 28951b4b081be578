"""From rows to the trade's dose calibration: which trials count today, the line through them, when to weigh again."""

from collections.abc import Sequence
from dataclasses import dataclass

from workshop.bench.dialin import DialIn
from workshop.bench.grind_moves import Grind, same
from workshop.bench.models import DoseTrial
from workshop.core.models import ModelNotes
from workshop.trade.coffee import dosing
from workshop.trade.coffee.dosing import DoseFit, Drift
from workshop.trade.coffee.sources import DOSE_AGREEMENT_G
from workshop.trade.scales import Scale


@dataclass(frozen=True, slots=True)
class Dosing:
    """The dose trials of one job. `fit` is None while they make no line; `why_none` says why."""

    scale: Scale
    trials: tuple[DoseTrial, ...]  # in the order weighed
    counting: tuple[DoseTrial, ...]  # since the grinder was opened, at the grind it stands at now
    grind: Grind
    fit: DoseFit | None = None
    why_none: str = ""
    drift: Drift | None = None

    @property
    def moved(self) -> bool:
        """Say whether trials were weighed, and none of them at the grind of now."""
        return bool(self.trials) and not self.counting


def scale_of(notes: ModelNotes) -> Scale:
    """Return the scale a model's dose is set on; seconds where the notes do not say."""
    return dosing.dose_scale(notes.dose_scale)


def dosing_of(notes: ModelNotes, rows: Sequence[DoseTrial], dial_in: DialIn, grind: Grind) -> Dosing:
    """Return the trials of one job with the line through those that count."""
    scale = scale_of(notes)
    counting = tuple(r for r in rows if not grind.opened_since(r.at) and same(r.grind_words, grind.now))
    fit, why_none = None, ""
    try:
        fit = dosing.fit_dose([_trial(row) for row in counting], scale)
    except ValueError as wrong:
        why_none = str(wrong)
    return Dosing(scale, tuple(rows), counting, grind, fit, why_none, _drift(counting, dial_in))


def _trial(row: DoseTrial) -> dosing.DoseTrial:
    return dosing.DoseTrial(row.length, row.dose_g, row.portions, row.topped_up)


def _drift(counting: Sequence[DoseTrial], dial_in: DialIn) -> Drift | None:
    """Hold the doses of shots pulled since the last trial against the dose aimed at."""
    if not counting:
        return None
    since = [row.dose_g for row in dial_in.rows if row.at > counting[-1].at and not row.spoilt]
    return dosing.drift(since, dial_in.target.dose_g)


def dial_for(known: Dosing, dial_in: DialIn) -> DoseTrial | None:
    """Return the latest counting trial that gave the dose aimed at: its mark was proved on this machine."""
    target_g, tolerance_g = dial_in.target.dose_g, DOSE_AGREEMENT_G.value
    near = (r for r in reversed(known.counting) if not r.topped_up and abs(r.dose_g - target_g) <= tolerance_g)
    return next(near, None)
