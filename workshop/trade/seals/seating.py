"""Group gaskets: where the handle locks in for a gasket's thickness, and how far an old one has set.

No published standard covers group gaskets, so the lock-in position is learnt from the workshop's own units of
a model: each fitted gasket gives one point.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

_HUNDREDTH, _TENTH = Decimal("0.01"), Decimal("0.1")


@dataclass(frozen=True, slots=True)
class SeatingPoint:
    """One gasket as fitted: thickness in mm and the handle's lock-in position in degrees.

    Count degrees as the workshop likes, so long as all points of a model count alike.
    """

    thickness_mm: Decimal
    position_deg: Decimal


@dataclass(frozen=True, slots=True)
class LockIn:
    """The straight line through a model's points, and how well they keep to it."""

    degrees_per_mm: Decimal
    mean_thickness_mm: Decimal
    mean_position_deg: Decimal
    thinnest_mm: Decimal
    thickest_mm: Decimal
    points: int
    widest_miss_deg: Decimal | None  # None with two points: any line goes through both

    def position_deg(self, thickness_mm: Decimal) -> Decimal:
        """Predicted lock-in position for a thickness, to a tenth of a degree."""
        off = self.degrees_per_mm * (thickness_mm - self.mean_thickness_mm)
        return (self.mean_position_deg + off).quantize(_TENTH)

    def thickness_mm(self, position_deg: Decimal) -> Decimal:
        """Thickness that would lock in at a position, to a hundredth. ValueError if thickness moves nothing."""
        if self.degrees_per_mm == 0:
            raise ValueError("On these units the thickness does not move the lock-in position.")
        off = (position_deg - self.mean_position_deg) / self.degrees_per_mm
        return (self.mean_thickness_mm + off).quantize(_HUNDREDTH)

    def beyond_tried(self, thickness_mm: Decimal) -> bool:
        """Whether a thickness lies outside the ones tried, so that its position is a guess."""
        return not self.thinnest_mm <= thickness_mm <= self.thickest_mm


def learn_lock_in(points: Iterable[SeatingPoint]) -> LockIn:
    """The least-squares line of position on thickness, from two points or more of one model.

    ValueError, in a sentence, with fewer points, one thickness only, or a thickness not above nought.
    """
    known = tuple(points)
    if any(not point.thickness_mm.is_finite() or point.thickness_mm <= 0 for point in known):
        raise ValueError("A gasket's thickness must be above nought.")
    if len({point.thickness_mm for point in known}) < 2:
        raise ValueError("Two gaskets of different thickness are needed before a position can be predicted.")
    mean_mm = sum((point.thickness_mm for point in known), Decimal(0)) / len(known)
    mean_deg = sum((point.position_deg for point in known), Decimal(0)) / len(known)
    together = sum(((p.thickness_mm - mean_mm) * (p.position_deg - mean_deg) for p in known), Decimal(0))
    slope = together / sum(((p.thickness_mm - mean_mm) ** 2 for p in known), Decimal(0))
    misses = [abs(p.position_deg - mean_deg - slope * (p.thickness_mm - mean_mm)) for p in known]
    return LockIn(
        degrees_per_mm=slope,
        mean_thickness_mm=mean_mm,
        mean_position_deg=mean_deg,
        thinnest_mm=min(point.thickness_mm for point in known),
        thickest_mm=max(point.thickness_mm for point in known),
        points=len(known),
        widest_miss_deg=max(misses).quantize(_TENTH) if len(known) > 2 else None,
    )


def compression_set_percent(*, new_mm: Decimal, worn_mm: Decimal, squeezed_mm: Decimal) -> Decimal:
    """100 (h0 - h1) / (h0 - hs), to a tenth: nought is as new, 100 has taken the gland's shape (R-08).

    `new_mm` h0 when new, `worn_mm` h1 taken out and rested, `squeezed_mm` hs in the machine. ValueError unless
    all are above nought and the seal was squeezed.
    """
    if any(not value.is_finite() or value <= 0 for value in (new_mm, worn_mm, squeezed_mm)):
        raise ValueError("Every thickness of a seal must be above nought.")
    if squeezed_mm >= new_mm:
        raise ValueError("The squeezed thickness must be less than the new one.")
    return (100 * (new_mm - worn_mm) / (new_mm - squeezed_mm)).quantize(_TENTH)
