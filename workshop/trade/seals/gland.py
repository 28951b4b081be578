"""How a ring sits in its groove: squeeze, stretch, fill, and the section thinned by stretch.

All answers are per cent, to a hundredth. Sources conflict at the edges (sources.py says which are used); the
bands judge nominal measures, since worst cases of published glands reach a fill of 96 %.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from math import pi

from workshop.trade.seals.sources import (
    DYNAMIC_SQUEEZE_HIGH,
    DYNAMIC_SQUEEZE_LOW,
    FILL_FAIL,
    FILL_LOW,
    FILL_WARN,
    STATIC_SQUEEZE_HIGH,
    STATIC_SQUEEZE_LOW,
    STRETCH_HIGH,
    THINNING_END,
    THINNING_JOIN,
)

_HUNDREDTH = Decimal("0.01")
# The empirical fit (source R-07), stretch S and thinning R both in per cent: R = a + b S + c S^2.
_GENTLE = (Decimal("0.01"), Decimal("1.06"), Decimal("-0.1"))
_STRONG = (Decimal("0.56"), Decimal("0.59"), Decimal("-0.0046"))


class GlandUse(StrEnum):
    """Whether the parts move against the ring: a face or fitting does not, a lever's piston does."""

    STATIC = "STATIC"
    DYNAMIC = "DYNAMIC"


class GlandCode(StrEnum):
    """What to say of one measure; the `_OK` ones need no words."""

    SQUEEZE_LOW = "SQUEEZE_LOW"
    SQUEEZE_OK = "SQUEEZE_OK"
    SQUEEZE_HIGH = "SQUEEZE_HIGH"
    STRETCH_LOOSE = "STRETCH_LOOSE"
    STRETCH_OK = "STRETCH_OK"
    STRETCH_HIGH = "STRETCH_HIGH"
    FILL_LOW = "FILL_LOW"
    FILL_OK = "FILL_OK"
    FILL_HIGH = "FILL_HIGH"
    FILL_OVER = "FILL_OVER"


@dataclass(frozen=True, slots=True)
class GlandVerdict:
    """Squeeze, stretch, thinning and fill of one ring in one groove, with a code for squeeze, stretch and fill.

    Stretch, thinning and its code are left out where no groove diameter was given (a face seal).
    """

    squeeze_percent: Decimal
    stretch_percent: Decimal | None
    thinning_percent: Decimal
    fill_percent: Decimal
    codes: tuple[GlandCode, ...]

    @property
    def sound(self) -> bool:
        """Whether every measure lies inside its band."""
        return set(self.codes) <= {GlandCode.SQUEEZE_OK, GlandCode.STRETCH_OK, GlandCode.FILL_OK}


def squeeze_percent(*, section_mm: Decimal, depth_mm: Decimal) -> Decimal:
    """100 (W - L) / W of a section W in a groove of depth L; below nought when it does not touch (R-03).

    ValueError for a measure not above nought.
    """
    _above_nought(section_mm, depth_mm)
    return (100 * (section_mm - depth_mm) / section_mm).quantize(_HUNDREDTH)


def squeeze_range_percent(
    *, section_mm: Decimal, section_tol_mm: Decimal, depth_low_mm: Decimal, depth_high_mm: Decimal
) -> tuple[Decimal, Decimal]:
    """Least and most squeeze over the tolerances of ring and groove. ValueError as `squeeze_percent`."""
    least = squeeze_percent(section_mm=section_mm - section_tol_mm, depth_mm=depth_high_mm)
    return least, squeeze_percent(section_mm=section_mm + section_tol_mm, depth_mm=depth_low_mm)


def stretch_percent(*, id_mm: Decimal, groove_d_mm: Decimal) -> Decimal:
    """100 (groove - ID) / ID; below nought when the ring hangs loose (R-03). ValueError if not above nought."""
    _above_nought(id_mm, groove_d_mm)
    return (100 * (groove_d_mm - id_mm) / id_mm).quantize(_HUNDREDTH)


def fill_percent(*, section_mm: Decimal, depth_mm: Decimal, width_mm: Decimal) -> Decimal:
    """Share of the groove's area that the ring's section takes (R-05). ValueError if not above nought."""
    _above_nought(section_mm, depth_mm, width_mm)
    area_mm2 = Decimal(pi) / 4 * section_mm**2
    return (100 * area_mm2 / (depth_mm * width_mm)).quantize(_HUNDREDTH)


def thinning_percent(stretch: Decimal) -> Decimal:
    """How much thinner, in per cent, a section becomes at `stretch` per cent (R-07).

    One and a half to two times what constant volume would give: the side to be careful on. Nought for a loose
    ring. ValueError over 25 %, where the fit ends.
    """
    if not stretch.is_finite() or stretch > THINNING_END.value:
        raise ValueError(f"Thinning is known up to a stretch of {THINNING_END.value} per cent.")
    if stretch <= 0:
        return Decimal("0.00")
    constant, slope, curve = _GENTLE if stretch <= THINNING_JOIN.value else _STRONG
    return (constant + slope * stretch + curve * stretch**2).quantize(_HUNDREDTH)


def judge_gland(
    *,
    section_mm: Decimal,
    depth_mm: Decimal,
    width_mm: Decimal,
    use: GlandUse,
    id_mm: Decimal | None = None,
    groove_d_mm: Decimal | None = None,
) -> GlandVerdict:
    """Judge one ring in one groove; squeeze and fill count the section as thinned by its stretch.

    Bands: static squeeze 10 to 40 %, dynamic 5 to 30 (R-03, R-04); stretch 0 to 5 (R-03); fill 65 to 85, over
    95 does not close (R-05, R-06). ValueError for measures not above nought, or a stretch over 25 %.
    """
    stretch = None
    if id_mm is not None and groove_d_mm is not None:
        stretch = stretch_percent(id_mm=id_mm, groove_d_mm=groove_d_mm)
    thinning = Decimal("0.00") if stretch is None else thinning_percent(stretch)
    thinned_mm = section_mm * (100 - thinning) / 100
    squeeze = squeeze_percent(section_mm=thinned_mm, depth_mm=depth_mm)
    fill = fill_percent(section_mm=thinned_mm, depth_mm=depth_mm, width_mm=width_mm)
    codes = [_squeeze_code(squeeze, use), _fill_code(fill)]
    if stretch is not None:
        codes.insert(1, _stretch_code(stretch))
    return GlandVerdict(squeeze, stretch, thinning, fill, tuple(codes))


def _squeeze_code(squeeze: Decimal, use: GlandUse) -> GlandCode:
    low, high = STATIC_SQUEEZE_LOW, STATIC_SQUEEZE_HIGH
    if use is GlandUse.DYNAMIC:
        low, high = DYNAMIC_SQUEEZE_LOW, DYNAMIC_SQUEEZE_HIGH
    if squeeze < low.value:
        return GlandCode.SQUEEZE_LOW
    return GlandCode.SQUEEZE_OK if squeeze <= high.value else GlandCode.SQUEEZE_HIGH


def _stretch_code(stretch: Decimal) -> GlandCode:
    if stretch < 0:
        return GlandCode.STRETCH_LOOSE
    return GlandCode.STRETCH_OK if stretch <= STRETCH_HIGH.value else GlandCode.STRETCH_HIGH


def _fill_code(fill: Decimal) -> GlandCode:
    if fill < FILL_LOW.value:
        return GlandCode.FILL_LOW
    if fill <= FILL_WARN.value:
        return GlandCode.FILL_OK
    return GlandCode.FILL_HIGH if fill <= FILL_FAIL.value else GlandCode.FILL_OVER


def _above_nought(*values: Decimal) -> None:
    if any(not value.is_finite() or value <= 0 for value in values):
        raise ValueError("Every measure of a ring and its groove must be above nought.")
