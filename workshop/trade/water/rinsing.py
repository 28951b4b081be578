"""Rinsing the acid out, and finding what is left of it from a pH reading.

The end is judged against the FEED water, never against pH 7, and never by conductivity alone: in hard water
citric acid lowers conductivity at first, so a meter that reads "as the feed" proves nothing. Do the last
check with low-mineral water, where two milligrams already show. Dead legs obey no formula: open every path.
"""

from decimal import ROUND_CEILING, Decimal
from enum import StrEnum
from math import ceil, log

from workshop.trade.water.acids import ACIDS, Acid, Agent
from workshop.trade.water.limits import must_be_positive, must_lie_between
from workshop.trade.water.sources import (
    CACO3_MG_MEQ,
    CARBONIC_PK1,
    CARBONIC_PK2,
    DRAINED_SHARE,
    EXHAUSTED_FROM_SHARE,
    LOW_MINERAL_BELOW_MG_L,
    RINSE_TARGET_MG_L,
    STRONGEST_PERCENT,
    WATER_PK,
)

__all__ = ["BoilerKind", "detection_limit_mg_l", "fills_needed", "residual_mg_l", "rinse_volume_l"]

_TENTH = Decimal("0.1")
_MG_L_PER_PERCENT = 10_000


class BoilerKind(StrEnum):
    """How fresh water pushes the old out: through a stirred boiler, by emptying it, or along a pipe."""

    FLOW_THROUGH = "FLOW_THROUGH"
    FILL_AND_DRAIN = "FILL_AND_DRAIN"
    PLUG = "PLUG"

    @property
    def label(self) -> str:
        """The kind in plain words."""
        return _LABELS[self]


_LABELS = {
    BoilerKind.FLOW_THROUGH: "boiler rinsed by running water through",
    BoilerKind.FILL_AND_DRAIN: "boiler filled and drained",
    BoilerKind.PLUG: "coil or block, one long path",
}


def rinse_volume_l(
    boiler_volume_l: Decimal,
    *,
    kind: str,
    strength_percent: Decimal,
    target_mg_l: Decimal = RINSE_TARGET_MG_L.value,
    drained_fraction: Decimal = DRAINED_SHARE.value,
) -> Decimal:
    """Litres of fresh water, rounded up to a tenth, that bring the acid down to `target_mg_l`.

    FLOW_THROUGH: C/C0 = exp(-V/Vb) (source W-11). FILL_AND_DRAIN: `fills_needed` whole volumes. PLUG: as
    stirred, at least one volume: it bounds any mixture of stirred and piston-like parts.
    This is the least; house policy runs twice as much through every path. ValueError, in a sentence.
    """
    must_be_positive(boiler_volume_l, "boiler volume in litres")
    ratio = _ratio(strength_percent, target_mg_l)
    if kind not in list(BoilerKind):
        raise ValueError(f"A boiler is rinsed by one of {', '.join(BoilerKind)}, not {kind}.")
    if kind == BoilerKind.FILL_AND_DRAIN:
        fills = _fills(ratio, drained_fraction)
        return (boiler_volume_l * fills).quantize(_TENTH, ROUND_CEILING)
    least = Decimal(1) if kind == BoilerKind.PLUG else Decimal(0)
    volumes = max(ratio.ln(), least) if ratio > 1 else Decimal(0)
    return (boiler_volume_l * volumes).quantize(_TENTH, ROUND_CEILING)


def fills_needed(
    *,
    strength_percent: Decimal,
    drained_fraction: Decimal = DRAINED_SHARE.value,
    target_mg_l: Decimal = RINSE_TARGET_MG_L.value,
) -> int:
    """Times to fill and drain: the least n with (1 - f)^n of the acid at or below the target.

    `drained_fraction` f is the share of the wetted volume that runs out. ValueError, in a sentence, unless
    strength and target are above nought and f lies above nought and below one.
    """
    return _fills(_ratio(strength_percent, target_mg_l), drained_fraction)


def _fills(ratio: Decimal, drained_fraction: Decimal) -> int:
    if not 0 < drained_fraction < 1:
        raise ValueError("The drained share must lie above 0 and below 1: something always stays behind.")
    if ratio <= 1:
        return 0
    # The tiny step back keeps an exact power (1 % left after two nine-tenths drains) from costing a fill.
    return ceil(log(ratio) / -log(1 - drained_fraction) - 1e-9)


def _ratio(strength_percent: Decimal, target_mg_l: Decimal) -> Decimal:
    must_be_positive(strength_percent, "strength in per cent")
    must_lie_between(strength_percent, Decimal(0), STRONGEST_PERCENT.value, "strength in per cent")
    must_be_positive(target_mg_l, "target in mg/L")
    return strength_percent * _MG_L_PER_PERCENT / target_mg_l


def residual_mg_l(agent: Agent, *, feed_alkalinity_mg_l: Decimal, feed_ph: Decimal, sample_ph: Decimal) -> Decimal:
    """Acid left in a closed sample read at once, in mg/L to a tenth; nought when its pH is not below the feed.

    The acid has turned bicarbonate into carbon dioxide; what the pH says is gone is the acid's equivalents.
    Within 0.03 pH of PHREEQC up to 50 mg/L from 100 mg/L alkalinity up. Below 20 mg/L alkalinity, or once most
    of it is used up, the acid no longer gives up all its protons and its constants are used.
    ValueError for alkalinity not above nought, a feed pH outside 5 to 9 or a sample outside 2 to 12.
    """
    must_be_positive(feed_alkalinity_mg_l, "feed alkalinity in mg/L")
    must_lie_between(feed_ph, Decimal(5), Decimal(9), "feed pH")
    must_lie_between(sample_ph, Decimal(2), Decimal(12), "sample pH")
    if sample_ph >= feed_ph:
        return Decimal(0)
    alkalinity = float(feed_alkalinity_mg_l / CACO3_MG_MEQ.value)
    used = _alkalinity_used(alkalinity, float(feed_ph), float(sample_ph))
    low_mineral = feed_alkalinity_mg_l < LOW_MINERAL_BELOW_MG_L.value
    exhausted = used > float(EXHAUSTED_FROM_SHARE.value) * alkalinity
    acid = ACIDS[agent]
    protons = _protons_given(acid, float(sample_ph)) if low_mineral or exhausted else acid.protons_in_tap_water
    return Decimal(used / protons * float(acid.molar_mass_g)).quantize(_TENTH)


def detection_limit_mg_l(
    agent: Agent, *, feed_alkalinity_mg_l: Decimal, feed_ph: Decimal, meter_resolution_ph: Decimal
) -> Decimal:
    """The least acid, in mg/L, that moves the meter by one step of `meter_resolution_ph` in this feed water.

    Anything under it cannot be told from none; print it beside the reading. ValueError as `residual_mg_l`,
    and for a resolution not above nought.
    """
    must_be_positive(meter_resolution_ph, "meter resolution in pH")
    return residual_mg_l(
        agent,
        feed_alkalinity_mg_l=feed_alkalinity_mg_l,
        feed_ph=feed_ph,
        sample_ph=feed_ph - meter_resolution_ph,
    )


def _alkalinity_used(alkalinity: float, feed_ph: float, sample_ph: float) -> float:
    """Equivalents (meq/L) of strong acid between the two readings, all carbon dioxide kept in."""
    # A nearly pure feed with a high pH holds its alkalinity as hydroxide: then no carbonate is left to count.
    carbon = max(0.0, alkalinity - _free_base(feed_ph)) / _carbonate_charge(feed_ph)
    return max(0.0, alkalinity - carbon * _carbonate_charge(sample_ph) - _free_base(sample_ph))


def _free_base(ph: float) -> float:
    """Hydroxide less hydrogen ion, in meq/L."""
    return 1000 * float(10 ** (ph - float(WATER_PK.value)) - 10**-ph)


def _carbonate_charge(ph: float) -> float:
    """Mean negative charge of dissolved carbon dioxide, bicarbonate and carbonate at this pH."""
    bicarbonate = 10 ** (ph - float(CARBONIC_PK1.value))
    carbonate = bicarbonate * 10 ** (ph - float(CARBONIC_PK2.value))
    return float((bicarbonate + 2 * carbonate) / (1 + bicarbonate + carbonate))


def _protons_given(acid: Acid, ph: float) -> float:
    """Mean protons a molecule of the acid has given up at this pH."""
    share, total, given = 1.0, 1.0, 0.0
    for count, pk in enumerate(acid.acidity_pk, start=1):
        share *= 10 ** (ph - float(pk))
        total += share
        given += count * share
    return given / total
