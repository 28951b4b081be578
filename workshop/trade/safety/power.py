"""Watts: the plug fuse that suits them, and the bands a heater and a pump should draw against their plates."""

from dataclasses import dataclass
from decimal import Decimal

from workshop.trade.safety import sources
from workshop.trade.sources import HOUSE_POLICY, Figure, Source

SMALL_FUSE_UP_TO = Figure(Decimal("700"), "W", sources.UK_FUSE)
SMALL_FUSE = Figure(Decimal("3"), "A", sources.UK_FUSE)
LARGE_FUSE = Figure(Decimal("13"), "A", sources.UK_FUSE)
PLUG_LIMIT = Figure(Decimal("3120"), "W", sources.OHMS_LAW)  # 13 A at 240 V

BAND_ABOVE = Figure(Decimal("200"), "W", sources.POWER_INPUT)
OVER_SHARE = Figure(Decimal("0.05"), "share", sources.POWER_INPUT)
OVER_AT_LEAST = Figure(Decimal("20"), "W", sources.POWER_INPUT)
UNDER_SHARE = Figure(Decimal("0.10"), "share", sources.POWER_INPUT)
MOTOR_UP_TO = Figure(Decimal("300"), "W", sources.MOTOR_INPUT)
MOTOR_OVER_SHARE = Figure(Decimal("0.20"), "share", sources.MOTOR_INPUT)
# The clause names no low end for motors; a pump that draws a fifth less is weak or runs dry.
MOTOR_UNDER_SHARE = Figure(Decimal("0.20"), "share", HOUSE_POLICY)


def fuse_rating_a(watts: Decimal) -> int:
    """The BS 1362 plug fuse in amperes for a UK machine (S-13).

    Raises ValueError at zero or less, and above what a 13 A plug can carry.
    """
    if not watts.is_finite() or watts <= 0:
        raise ValueError("watts must be above zero")
    if watts > PLUG_LIMIT.value:
        raise ValueError("too much for a 13 A plug: ask a licensed electrician")
    return int((SMALL_FUSE if watts <= SMALL_FUSE_UP_TO.value else LARGE_FUSE).value)


@dataclass(frozen=True, slots=True)
class WattsBand:
    """Watts a healthy heater draws at the supply it was measured on; both ends belong to it."""

    low: Decimal
    high: Decimal
    source: Source

    def holds(self, watts: Decimal) -> bool:
        """Whether a reading lies inside."""
        return self.low <= watts <= self.high


def rated_watts_band(
    watts: Decimal, *, plate_volts: Decimal | None = None, measured_volts: Decimal | None = None
) -> WattsBand:
    """Plate watts -10 %, +5 % (or +20 W where that is more): below it an element may be half dead.

    With both voltages given the band moves with the square of their ratio, as a resistor does. Ends to
    one decimal. Raises ValueError for 200 W or less, where no figure is known, and when only one voltage is
    given.
    """
    if not watts.is_finite() or watts <= BAND_ABOVE.value:
        raise ValueError("no band is known for heaters of 200 W or less")
    if (plate_volts is None) != (measured_volts is None):
        raise ValueError("give both the plate's volts and the measured volts, or neither")
    scale = Decimal(1)
    if plate_volts is not None and measured_volts is not None:
        scale = (measured_volts / plate_volts) ** 2
    low = watts * (1 - UNDER_SHARE.value) * scale
    high = (watts + max(watts * OVER_SHARE.value, OVER_AT_LEAST.value)) * scale
    tenth = Decimal("0.1")
    return WattsBand(low.quantize(tenth), high.quantize(tenth), sources.POWER_INPUT)


def pump_watts_band(watts: Decimal) -> WattsBand:
    """Plate watts of a pump -20 % (house policy), +20 % (S-39, from memory). Ends to one decimal.

    Raises ValueError at zero or less and over 300 W, where no figure is known.
    """
    if not watts.is_finite() or not 0 < watts <= MOTOR_UP_TO.value:
        raise ValueError("no band is known for pumps of nothing or over 300 W")
    low, high = watts * (1 - MOTOR_UNDER_SHARE.value), watts * (1 + MOTOR_OVER_SHARE.value)
    tenth = Decimal("0.1")
    return WattsBand(low.quantize(tenth), high.quantize(tenth), sources.MOTOR_INPUT)
