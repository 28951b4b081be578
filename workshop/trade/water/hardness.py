"""Water hardness: kept in mmol/L of calcium and magnesium, shown in whichever unit the place uses.

A strip reads a range, not a number, so it gives a `HardnessRange`; plan with its hard end.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.water.limits import must_be_number
from workshop.trade.water.sources import (
    CACO3_G_MOL,
    CALCIUM_G_MOL,
    CAO_G_MOL,
    DEGREE_MG_L,
    GRAIN_MG,
    HARD_TO_MG_L,
    IMPERIAL_GALLON_L,
    MAGNESIUM_G_MOL,
    MODERATE_TO_MG_L,
    SOFT_TO_MG_L,
    STRIP_FIELD_DH,
    US_GALLON_L,
)


class HardnessUnit(StrEnum):
    """The units hardness is printed in; the value is the name, fit for a database column."""

    MMOL_L = "MMOL_L"
    MG_L_CACO3 = "MG_L_CACO3"
    DH = "DH"
    FH = "FH"
    CLARK = "CLARK"
    GPG = "GPG"

    @property
    def label(self) -> str:
        """The unit in plain words."""
        return _LABELS[self]


_LABELS = {
    HardnessUnit.MMOL_L: "mmol/L",
    HardnessUnit.MG_L_CACO3: "mg/L as CaCO3 (ppm)",
    HardnessUnit.DH: "German degrees (dH)",
    HardnessUnit.FH: "French degrees (fH)",
    HardnessUnit.CLARK: "Clark degrees",
    HardnessUnit.GPG: "grains per US gallon",
}

_CACO3 = CACO3_G_MOL.value
_MMOL_L_PER_UNIT = {
    HardnessUnit.MMOL_L: Decimal(1),
    HardnessUnit.MG_L_CACO3: 1 / _CACO3,
    HardnessUnit.DH: DEGREE_MG_L.value / CAO_G_MOL.value,
    HardnessUnit.FH: DEGREE_MG_L.value / _CACO3,
    HardnessUnit.CLARK: GRAIN_MG.value / IMPERIAL_GALLON_L.value / _CACO3,
    HardnessUnit.GPG: GRAIN_MG.value / US_GALLON_L.value / _CACO3,
}


class HardnessClass(StrEnum):
    """The four USGS classes."""

    SOFT = "soft"
    MODERATELY_HARD = "moderately hard"
    HARD = "hard"
    VERY_HARD = "very hard"


@dataclass(frozen=True, slots=True)
class HardnessRange:
    """What a strip says: hardness in mmol/L from `low` to `high`; `high` is None when it has no upper end."""

    low_mmol_l: Decimal
    high_mmol_l: Decimal | None


def to_mmol_l(value: Decimal, unit: HardnessUnit) -> Decimal:
    """Hardness in mmol/L from a reading in `unit`. ValueError if below nought. Sources W-01, W-02."""
    must_be_number(value, "hardness")
    return value * _MMOL_L_PER_UNIT[unit]


def from_mmol_l(value: Decimal, unit: HardnessUnit) -> Decimal:
    """Hardness in `unit` from mmol/L. ValueError if below nought. Sources W-01, W-02."""
    must_be_number(value, "hardness")
    return value / _MMOL_L_PER_UNIT[unit]


def as_caco3_mg_l(mmol_l: Decimal) -> Decimal:
    """Hardness as mg of calcium carbonate per litre, from mmol/L. ValueError if below nought."""
    must_be_number(mmol_l, "hardness")
    return mmol_l * _CACO3


def hardness_from_ions_mmol_l(*, calcium_mg_l: Decimal, magnesium_mg_l: Decimal) -> Decimal:
    """Hardness in mmol/L from a water report's calcium and magnesium. ValueError if below nought."""
    must_be_number(calcium_mg_l, "calcium")
    must_be_number(magnesium_mg_l, "magnesium")
    return calcium_mg_l / CALCIUM_G_MOL.value + magnesium_mg_l / MAGNESIUM_G_MOL.value


def hardness_class(mmol_l: Decimal) -> HardnessClass:
    """The USGS class; a bound belongs to the softer side. ValueError if below nought. Source W-03."""
    # A thousandth of a mg is far below any reading; without it 60 mg/L comes back as 60.000...01.
    mg_l = as_caco3_mg_l(mmol_l).quantize(Decimal("0.001"))
    if mg_l <= SOFT_TO_MG_L.value:
        return HardnessClass.SOFT
    if mg_l <= MODERATE_TO_MG_L.value:
        return HardnessClass.MODERATELY_HARD
    return HardnessClass.HARD if mg_l <= HARD_TO_MG_L.value else HardnessClass.VERY_HARD


def strip_range(coloured_fields: int) -> HardnessRange:
    """The range behind 1 to 4 coloured fields of the common strip; other strips differ. Source W-04.

    ValueError for any other count.
    """
    if not 1 <= coloured_fields <= 4:
        raise ValueError("A strip of this kind shows one to four coloured fields.")
    field_mmol_l = to_mmol_l(STRIP_FIELD_DH.value, HardnessUnit.DH)
    high = None if coloured_fields == 4 else coloured_fields * field_mmol_l
    return HardnessRange((coloured_fields - 1) * field_mmol_l, high)
