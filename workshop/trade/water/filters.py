"""What a filter with bypass leaves in the water (a mass balance, W-12), and how long a cartridge lasts."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.water.limits import must_be_number, must_be_positive, must_lie_between


class FilterKind(StrEnum):
    """How a filter works, not who makes it."""

    NONE = "NONE"
    SOFTENER = "SOFTENER"
    DECARBONISING = "DECARBONISING"
    REVERSE_OSMOSIS = "REVERSE_OSMOSIS"

    @property
    def label(self) -> str:
        """The kind in plain words."""
        return _LABELS[self]


_LABELS = {
    FilterKind.NONE: "no filter",
    FilterKind.SOFTENER: "softener (salt)",
    FilterKind.DECARBONISING: "decarbonising cartridge",
    FilterKind.REVERSE_OSMOSIS: "reverse osmosis with blend",
}


@dataclass(frozen=True, slots=True)
class Water:
    """Hardness and alkalinity, both in mg/L as calcium carbonate."""

    hardness_mg_l: Decimal
    alkalinity_mg_l: Decimal


def after_filter(water: Water, kind: FilterKind, *, bypass: Decimal = Decimal(0)) -> Water:
    """The water behind a filter in good order; `bypass` is the untreated share, 0 to 1.

    A softener takes hardness only, a decarbonising cartridge takes temporary hardness from both, reverse
    osmosis takes all of both. ValueError for a concentration below nought or a share outside 0 to 1.
    """
    must_be_number(water.hardness_mg_l, "hardness")
    must_be_number(water.alkalinity_mg_l, "alkalinity")
    must_lie_between(bypass, Decimal(0), Decimal(1), "bypass share")
    hardness, alkalinity = water.hardness_mg_l, water.alkalinity_mg_l
    if kind is FilterKind.SOFTENER:
        return Water(hardness * bypass, alkalinity)
    if kind is FilterKind.DECARBONISING:
        taken = (1 - bypass) * min(hardness, alkalinity)
        return Water(hardness - taken, alkalinity - taken)
    if kind is FilterKind.REVERSE_OSMOSIS:
        return Water(hardness * bypass, alkalinity * bypass)
    return water


def cartridge_litres(*, rated_litres: Decimal, rated_at_mg_l: Decimal, alkalinity_mg_l: Decimal) -> Decimal:
    """Litres a decarbonising cartridge lasts on this water, in whole litres, from one row of its own table.

    Capacity is one over the alkalinity at a fixed blend setting (W-08), so take the row of the blend in use.
    ValueError unless all are above nought.
    """
    must_be_positive(rated_litres, "rated litres")
    must_be_positive(rated_at_mg_l, "alkalinity of the rated row")
    must_be_positive(alkalinity_mg_l, "alkalinity")
    return (rated_litres * rated_at_mg_l / alkalinity_mg_l).quantize(Decimal(1))
