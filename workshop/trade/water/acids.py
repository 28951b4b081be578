"""The acids a workshop descales with: masses, what they dissolve, how they give up their acid."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.sources import FROM_MEMORY, Source
from workshop.trade.water.sources import CACO3_G_MOL, MOLAR_MASSES


class Agent(StrEnum):
    """A descaling acid; the value is the name, fit for a database column."""

    CITRIC_ANHYDROUS = "CITRIC_ANHYDROUS"
    CITRIC_MONOHYDRATE = "CITRIC_MONOHYDRATE"
    LACTIC = "LACTIC"
    SULFAMIC = "SULFAMIC"
    ACETIC = "ACETIC"
    TARTARIC = "TARTARIC"
    PHOSPHORIC = "PHOSPHORIC"
    FORMIC = "FORMIC"

    @property
    def label(self) -> str:
        """The acid in plain words."""
        return ACIDS[self].label


@dataclass(frozen=True, slots=True)
class Acid:
    """One acid.

    `moles_per_caco3` is moles of acid for each mole of calcium carbonate, forming the soluble salt (for citric
    the neutral citrate). `protons_in_tap_water` is how many acid equivalents a mole has spent by the pH of tap
    water. `acidity_pk` are its dissociation constants, from the strongest.
    """

    label: str
    molar_mass_g: Decimal
    moles_per_caco3: Decimal
    protons_in_tap_water: int
    acidity_pk: tuple[Decimal, ...]
    mass_source: Source = MOLAR_MASSES
    acidity_source: Source = FROM_MEMORY

    @property
    def g_per_g_caco3(self) -> Decimal:
        """Grams of this acid that one gram of calcium carbonate uses up."""
        return self.molar_mass_g * self.moles_per_caco3 / CACO3_G_MOL.value


def _acid(label: str, mass: str, moles: Decimal, protons: int, *pk: str) -> Acid:
    return Acid(label, Decimal(mass), moles, protons, tuple(map(Decimal, pk)))


_ONE, _TWO, _TWO_THIRDS = Decimal(1), Decimal(2), Decimal(2) / 3
_CITRIC_PK = ("3.13", "4.76", "6.40")

ACIDS = {
    Agent.CITRIC_ANHYDROUS: _acid("citric acid, dry", "192.124", _TWO_THIRDS, 3, *_CITRIC_PK),
    Agent.CITRIC_MONOHYDRATE: _acid("citric acid, monohydrate", "210.139", _TWO_THIRDS, 3, *_CITRIC_PK),
    Agent.LACTIC: _acid("lactic acid", "90.078", _TWO, 1, "3.86"),
    Agent.SULFAMIC: _acid("sulfamic acid", "97.094", _TWO, 1, "1.0"),
    Agent.ACETIC: _acid("acetic acid", "60.052", _TWO, 1, "4.76"),
    Agent.TARTARIC: _acid("tartaric acid", "150.087", _ONE, 2, "2.98", "4.34"),
    # The second proton leaves near pH 7; counting one reads the residual high, the safe way.
    Agent.PHOSPHORIC: _acid("phosphoric acid", "97.995", _TWO, 1, "2.15", "7.20"),
    Agent.FORMIC: _acid("formic acid", "46.025", _TWO, 1, "3.75"),
}
