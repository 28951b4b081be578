"""Earth-path limits that depend on the mains cord (safety source codes S-01, S-03 to S-05)."""

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from workshop.trade.safety import sources
from workshop.trade.safety.appliance import Appliance, Limit, Measure, at_most, cord_facts
from workshop.trade.sources import Figure

# Milliohm per metre by section in mm², flexible copper at 20 °C (source: sources.CORD_OHM, S-04).
CORD_MILLIOHM_PER_M = {
    Decimal("0.75"): Decimal("26.0"),
    Decimal("1.0"): Decimal("19.5"),
    Decimal("1.25"): Decimal("15.6"),
    Decimal("1.5"): Decimal("13.3"),
    Decimal("2.5"): Decimal("7.98"),
}
ONE_MM2_MILLIOHM_PER_M = Figure(Decimal("19.5"), "milliohm mm² / m", sources.CORD_OHM)

UK_BASE = Figure(Decimal("0.1"), "ohm", sources.UK_CODE_5)
UK_OLDER = Figure(Decimal("0.5"), "ohm", sources.UK_OLDER)

DE_FIRST = Figure(Decimal("0.3"), "ohm", sources.DE_EARTH)
DE_FIRST_LENGTH = Figure(Decimal("5"), "m", sources.DE_EARTH)
DE_STEP = Figure(Decimal("0.1"), "ohm", sources.DE_EARTH)
DE_STEP_LENGTH = Figure(Decimal("7.5"), "m", sources.DE_EARTH)
DE_CEILING = Figure(Decimal("1.0"), "ohm", sources.DE_EARTH)
DE_THIN_CORD = Figure(Decimal("1.5"), "mm²", sources.DE_EARTH)
# Sources give 0.0178 to 0.0185; the stricter end is the default, since a workshop may only tighten.
DE_COPPER = Figure(Decimal("0.0178"), "ohm mm² / m", sources.DE_EARTH)

_MILLIOHM = Decimal("0.001")


def cord_ohm(length_m: Decimal, section_mm2: Decimal) -> Decimal:
    """Resistance of the earth wire in the cord; a section outside the table scales by area."""
    per_m = CORD_MILLIOHM_PER_M.get(section_mm2, ONE_MM2_MILLIOHM_PER_M.value / section_mm2)
    return length_m * per_m / 1000


def _to_the_milliohm(ohm: Decimal) -> Decimal:
    # Judged as printed: a reading equal to the figure on the sheet must pass.
    return ohm.quantize(_MILLIOHM, ROUND_HALF_UP)


def uk_earth(appliance: Appliance, edition: str, *, allow_older: bool) -> Limit:
    """0.1 ohm plus the cord; or 0.5 ohm when the older-equipment rule of the 5th edition was chosen.

    Raises MissingFact when the cord's length or section is unknown.
    """
    if allow_older and appliance.older_equipment:
        note = " (older-equipment rule, chosen by the tester)"
        return at_most("uk_earth_older", Measure.EARTH_OHM, UK_OLDER.value, edition, UK_OLDER.source, note)
    length_m, section_mm2 = cord_facts(appliance)
    high = _to_the_milliohm(UK_BASE.value + cord_ohm(length_m, section_mm2))
    return at_most("uk_earth", Measure.EARTH_OHM, high, edition, UK_BASE.source)


def de_earth(appliance: Appliance, edition: str) -> Limit:
    """0.3 ohm to 5 m, 0.1 ohm more per further 7.5 m begun, 1.0 ohm at most; thicker cords by calculation.

    Raises MissingFact when the cord's length or section is unknown.
    """
    length_m, section_mm2 = cord_facts(appliance)
    if section_mm2 > DE_THIN_CORD.value:
        high = _to_the_milliohm(DE_STEP.value + DE_COPPER.value * length_m / section_mm2)
        return at_most("de_earth_thick", Measure.EARTH_OHM, high, edition, sources.DE_EARTH)
    beyond_m = max(Decimal(0), length_m - DE_FIRST_LENGTH.value)
    steps = (beyond_m / DE_STEP_LENGTH.value).to_integral_value(ROUND_CEILING)
    high = min(DE_CEILING.value, DE_FIRST.value + DE_STEP.value * steps)
    return at_most("de_earth", Measure.EARTH_OHM, high, edition, sources.DE_EARTH)
