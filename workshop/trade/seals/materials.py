"""Which seal rubber stands which heat, in water, in steam and dry.

EPDM swells in mineral grease: food-grade silicone grease only. Ask the seller for a food-contact statement.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.seals.sources import MATERIAL_TABLE
from workshop.trade.sources import Source


class Material(StrEnum):
    """Rubber of a ring or gasket."""

    EPDM_PEROXIDE = "EPDM_PEROXIDE"
    EPDM_SULFUR = "EPDM_SULFUR"
    VMQ = "VMQ"
    FKM = "FKM"
    NBR = "NBR"

    @property
    def label(self) -> str:
        """The rubber in plain words."""
        return _LABELS[self]


_LABELS = {
    Material.EPDM_PEROXIDE: "EPDM, peroxide cured",
    Material.EPDM_SULFUR: "EPDM, sulfur cured",
    Material.VMQ: "silicone (VMQ)",
    Material.FKM: "fluorocarbon (FKM)",
    Material.NBR: "nitrile (NBR)",
}


@dataclass(frozen=True, slots=True)
class HeatLimits:
    """Highest temperatures in C; `steam_c` None means not to be used in steam at all."""

    hot_water_c: Decimal
    steam_c: Decimal | None
    dry_c: Decimal
    source: Source = MATERIAL_TABLE


# Best first, as `suitable` lists them (source R-09).
HEAT_LIMITS = {
    Material.EPDM_PEROXIDE: HeatLimits(Decimal(150), Decimal(175), Decimal(150)),
    Material.EPDM_SULFUR: HeatLimits(Decimal(130), Decimal(130), Decimal(130)),
    Material.VMQ: HeatLimits(Decimal(100), Decimal(120), Decimal(200)),
    Material.FKM: HeatLimits(Decimal(80), None, Decimal(200)),
    Material.NBR: HeatLimits(Decimal(80), None, Decimal(100)),
}


def suits(material: Material, *, temp_c: Decimal, steam: bool) -> bool:
    """Whether the rubber stands `temp_c` in hot water, or in steam; the limit itself is allowed (R-09).

    ValueError for a temperature that is not a number.
    """
    if not temp_c.is_finite():
        raise ValueError("The temperature must be a number.")
    limits = HEAT_LIMITS[material]
    limit_c = limits.steam_c if steam else limits.hot_water_c
    return limit_c is not None and temp_c <= limit_c


def suitable(*, temp_c: Decimal, steam: bool) -> tuple[Material, ...]:
    """Every rubber that stands it, first choice first. ValueError as `suits`."""
    return tuple(material for material in HEAT_LIMITS if suits(material, temp_c=temp_c, steam=steam))
