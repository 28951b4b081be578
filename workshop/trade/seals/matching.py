"""From a worn ring to the sizes it may have been, ranked, with ties admitted.

Measure the GROOVE first: a worn ring is flattened, so its section is read in two directions, and stretched, so
its inside diameter reads large. A caliper cannot tell 1.78 from 1.8, 2.62 from 2.65 or 3.53 from 3.55 mm: such
pairs come out as a tie, to be settled by what the model had last time or by trying both.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from math import pi

from workshop.trade.seals.gland import stretch_percent
from workshop.trade.seals.sizes import RingSize, as568, iso3601_sections, iso_id_tol_mm, iso_section_tol_mm, metric_size
from workshop.trade.seals.sources import (
    METRIC_ID_STEP,
    SECTION_WITHIN_PERCENT,
    STRETCH_HIGH,
    TIE_MARGIN,
    WITHIN_TOLERANCES,
)

_HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Candidate:
    """One size the ring may have been.

    `score` is the squared distance from the measures in tolerances (nought is exact); the errors are measured
    less nominal in mm; `stretch_percent` is its stretch on the measured groove, None without one.
    """

    size: RingSize
    score: Decimal
    id_error_mm: Decimal
    section_error_mm: Decimal
    stretch_percent: Decimal | None


@dataclass(frozen=True, slots=True)
class Match:
    """The candidates, best first; `tie` says that the second fits as well as a caliper can tell."""

    candidates: tuple[Candidate, ...]
    tie: bool


@dataclass(frozen=True, slots=True)
class _Worn:
    id_mm: Decimal
    flattened_mm: Decimal
    section_mm: Decimal  # of equal area
    groove_d_mm: Decimal | None


def match(*, id_mm: Decimal, section_a_mm: Decimal, section_b_mm: Decimal, groove_d_mm: Decimal | None = None) -> Match:
    """Sizes within three tolerances of a worn ring, from AS568 and the metric sections of ISO 3601-1.

    `section_a_mm` and `section_b_mm` are the section across its flat and its wide way, in either order;
    `groove_d_mm` the diameter the ring sits on, which drops sizes that would hang loose or stretch over 5 %.
    Of the metric diameters, on sale in half millimetres, the best for each section is listed. ValueError,
    in a sentence, for a measure that is not above nought. Method: house; sizes R-01, R-02.
    """
    measures = [("inside diameter", id_mm), ("section", section_a_mm), ("section", section_b_mm)]
    for name, value in [*measures, ("groove diameter", Decimal(1) if groove_d_mm is None else groove_d_mm)]:
        if not value.is_finite() or value <= 0:
            raise ValueError(f"The {name} must be above nought.")
    equal_area = (section_a_mm * section_b_mm).sqrt()
    worn = _Worn(id_mm, min(section_a_mm, section_b_mm), equal_area, groove_d_mm)
    ranked = sorted([*_inch(worn), *_metric(worn)], key=lambda one: (one.score, one.size.dash))
    tie = len(ranked) > 1 and ranked[1].score - ranked[0].score <= TIE_MARGIN.value
    return Match(tuple(ranked), tie)


def _inch(worn: _Worn) -> Iterator[Candidate]:
    for size in as568():
        if _section_fits(worn, size.section_mm, size.section_tol_mm):
            candidate = _candidate(worn, size)
            if candidate is not None:
                yield candidate


def _metric(worn: _Worn) -> Iterator[Candidate]:
    for section_mm in iso3601_sections():
        if not _section_fits(worn, section_mm, iso_section_tol_mm(section_mm)):
            continue
        sizes = (metric_size(id_mm, section_mm) for id_mm in _half_millimetres_near(worn.id_mm))
        fitting = [found for size in sizes if (found := _candidate(worn, size)) is not None]
        if fitting:
            yield min(fitting, key=lambda one: one.score)


def _half_millimetres_near(id_mm: Decimal) -> Iterator[Decimal]:
    step = METRIC_ID_STEP.value
    steps_each_way = int(WITHIN_TOLERANCES.value * iso_id_tol_mm(id_mm) / step) + 1
    nearest = int((id_mm / step).to_integral_value())
    for count in range(max(1, nearest - steps_each_way), nearest + steps_each_way + 1):
        yield count * step


def _section_fits(worn: _Worn, section_mm: Decimal, tol_mm: Decimal) -> bool:
    # Wear only flattens: a standard section thinner than the flat way, by more than its tolerance, is out.
    if section_mm + tol_mm < worn.flattened_mm:
        return False
    return abs(section_mm - worn.section_mm) <= worn.section_mm * SECTION_WITHIN_PERCENT.value / 100


def _candidate(worn: _Worn, size: RingSize) -> Candidate | None:
    """The size with its score, or None when its diameter, section or stretch on the groove rules it out."""
    id_error, section_error = worn.id_mm - size.id_mm, worn.section_mm - size.section_mm
    id_share, section_share = id_error / size.id_tol_mm, section_error / size.section_tol_mm
    if max(abs(id_share), abs(section_share)) > WITHIN_TOLERANCES.value:
        return None
    stretch = None
    if worn.groove_d_mm is not None:
        stretch = stretch_percent(id_mm=size.id_mm, groove_d_mm=worn.groove_d_mm)
        if not 0 <= stretch <= STRETCH_HIGH.value:
            return None
    score = (id_share**2 + section_share**2).quantize(_HUNDREDTH)
    return Candidate(size, score, id_error.quantize(_HUNDREDTH), section_error.quantize(_HUNDREDTH), stretch)


def ring_mass_g(*, id_mm: Decimal, section_mm: Decimal, density_g_cm3: Decimal) -> Decimal:
    """Mass of an unworn ring in g: density x pi^2 / 4 x W^2 x (ID + W); a second opinion on a scale.

    ValueError for a measure that is not above nought.
    """
    for value in (id_mm, section_mm, density_g_cm3):
        if not value.is_finite() or value <= 0:
            raise ValueError("Diameter, section and density must be above nought.")
    volume_mm3 = Decimal(pi) ** 2 / 4 * section_mm**2 * (id_mm + section_mm)
    return (density_g_cm3 * volume_mm3 / 1000).quantize(Decimal("0.001"))
