"""Everything the first coffee speaks of: this machine's recipe, controls and readings, and the buyer's kitchen."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from handover.kitchen import Kitchen
from handover.sheet import Run
from workshop.bench.chart import ShotChart
from workshop.bench.models import Recipe
from workshop.bench.pages_dose import ProvedButton
from workshop.core.models import Control, ModelNotes
from workshop.trade import scales


@dataclass(frozen=True, slots=True)
class Brewing:
    """What the counter's page is composed from; what was not measured is absent."""

    notes: ModelNotes
    recipe: Recipe | None
    controls: dict[str, Control]
    coffee_labels: frozenset[str] = frozenset()  # what stands on the controls that pour coffee
    kitchen: Kitchen = field(default_factory=Kitchen)
    chart: ShotChart | None = None
    tried: frozenset[str] = frozenset()  # settings pulled on this machine, in the scale's words
    step_s: int | None = None  # seconds one step of the grinder moves a shot, where the shots say so
    buttons: tuple[ProvedButton, ...] = ()  # each proved button with what it delivers
    new_seal: bool = False  # the group seal is new: the handle comes further round as it beds in
    measured: Mapping[str, Decimal] = field(default_factory=dict)  # proved readings by their item, in its unit

    @property
    def button(self) -> ProvedButton | None:
        """The proved button of the coffee: the one nearest to the recipe's cup, or none."""
        if self.recipe is None or not self.buttons:
            return None
        yield_g = self.recipe.yield_g
        own = [each for each in self.buttons if each.name in self.coffee_labels]
        return min(own, key=lambda each: abs(each.gives_g - yield_g), default=None)


def runs(*sentences: str) -> tuple[Run, ...]:
    """Return sentences joined, with the *heavy* stretches between their stars."""
    text = " ".join(each for each in sentences if each)
    return tuple(Run(part, bold=at % 2 == 1) for at, part in enumerate(text.split("*")) if part)


def hour(words: str) -> Decimal | None:
    """Return the clock hour said in words, or None where they are not clock words."""
    try:
        return scales.parse(scales.CLOCK_FACE, words) if words else None
    except ValueError:
        return None


def digits(at: Decimal) -> str:
    """Return a clock hour as it is read off a dial: 2:30."""
    hours = int(at)
    return f"{hours or 12}:{int((at - hours) * 60):02d}"
