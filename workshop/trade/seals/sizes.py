"""Ring sizes: the AS568 table, and the metric sections of ISO 3601-1 with their tolerances."""

import csv
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files

from workshop.trade.seals.sources import ISO_ID_CONSTANT, ISO_ID_FACTOR, ISO_ID_POWER, SECTION_TOLERANCES


class Standard(StrEnum):
    """Which table a size is from."""

    AS568 = "AS568"
    ISO3601 = "ISO3601"

    @property
    def label(self) -> str:
        """The table in plain words."""
        return "AS568 (inch)" if self is Standard.AS568 else "ISO 3601-1 (metric)"


@dataclass(frozen=True, slots=True)
class RingSize:
    """One ring, unstretched: its inside diameter and section in mm, each with its half-width tolerance.

    `dash` is the AS568 dash number, or for a metric ring its two measures, like "25x3.5".
    """

    standard: Standard
    dash: str
    id_mm: Decimal
    id_tol_mm: Decimal
    section_mm: Decimal
    section_tol_mm: Decimal


# Source R-02.
_CLASS_B_MM = ("1", "1.5", "2", "2.5", "3", "3.5", "4", "5", "6", "8")
_AEROSPACE_MM = ("1.80", "2.65", "3.55", "5.30", "7.00")
_ISO_SECTIONS_MM = tuple(sorted(map(Decimal, _CLASS_B_MM + _AEROSPACE_MM)))


@lru_cache(maxsize=1)
def as568() -> tuple[RingSize, ...]:
    """All 349 AS568 sizes in the order of their dash numbers, read once from the packaged table (R-01)."""
    text = files("workshop.trade.seals").joinpath("as568.csv").read_text(encoding="utf-8")
    return tuple(_from_row(row) for row in csv.DictReader(text.splitlines()))


def _from_row(row: dict[str, str]) -> RingSize:
    return RingSize(
        Standard.AS568,
        row["dash"],
        Decimal(row["id_mm"]),
        Decimal(row["id_tol_mm"]),
        Decimal(row["cs_mm"]),
        Decimal(row["cs_tol_mm"]),
    )


def as568_size(dash: str) -> RingSize:
    """The size behind a dash number, with or without its hyphen. ValueError if there is none."""
    wanted = dash.strip().removeprefix("-").zfill(3)
    for size in as568():
        if size.dash == wanted:
            return size
    raise ValueError(f"AS568 has no dash number {dash}.")


def iso3601_sections() -> tuple[Decimal, ...]:
    """The metric sections in mm, thinnest first: class B and the aerospace series (R-02)."""
    return _ISO_SECTIONS_MM


def iso_id_tol_mm(id_mm: Decimal) -> Decimal:
    """Half-width of the metric inside diameter, to a hundredth: 0.009 d^0.95 + 0.11 mm (R-02).

    ValueError for a diameter not above nought.
    """
    if not id_mm.is_finite() or id_mm <= 0:
        raise ValueError("The inside diameter must be above nought.")
    power: Decimal = id_mm**ISO_ID_POWER.value
    return (ISO_ID_FACTOR.value * power + ISO_ID_CONSTANT.value).quantize(Decimal("0.01"))


def iso_section_tol_mm(section_mm: Decimal) -> Decimal:
    """Half-width of a metric section, by band. ValueError for a section outside 0 to 8.4 mm."""
    if section_mm > 0:
        for up_to, half_width in SECTION_TOLERANCES:
            if section_mm <= up_to.value:
                return half_width.value
    raise ValueError("The section must lie above 0 and not over 8.4 mm.")


def metric_size(id_mm: Decimal, section_mm: Decimal) -> RingSize:
    """A metric ring with the tolerances of ISO 3601-1 class B. ValueError as the two tolerances."""
    dash = f"{id_mm.normalize():f}x{section_mm.normalize():f}"
    return RingSize(Standard.ISO3601, dash, id_mm, iso_id_tol_mm(id_mm), section_mm, iso_section_tol_mm(section_mm))
