"""What is tested and how a limit is written: the words shared by every profile."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.sources import Source


class MissingFact(ValueError):
    """A fact of the machine that a limit needs is not known; the message is a sentence for the screen."""


class ApplianceClass(StrEnum):
    """Protection class: I has an earth wire, II has double insulation and none."""

    CLASS_I = "class_i"
    CLASS_II = "class_ii"

    @property
    def label(self) -> str:
        """Plain words for the screen."""
        return "Class I, earthed" if self is ApplianceClass.CLASS_I else "Class II, double insulated"


class Measure(StrEnum):
    """The four electrical readings."""

    EARTH_OHM = "earth_ohm"
    INSULATION_MOHM = "insulation_mohm"
    LEAKAGE_MA = "leakage_ma"
    TOUCH_MA = "touch_ma"

    @property
    def label(self) -> str:
        """Plain words for the screen."""
        return _MEASURE_LABELS[self]

    @property
    def unit(self) -> str:
        """The unit as printed."""
        return _UNITS[self]


_MEASURE_LABELS = {
    Measure.EARTH_OHM: "Earth path",
    Measure.INSULATION_MOHM: "Insulation",
    Measure.LEAKAGE_MA: "Leakage current",
    Measure.TOUCH_MA: "Touch current",
}
_UNITS = {
    Measure.EARTH_OHM: "ohm",
    Measure.INSULATION_MOHM: "megohm",
    Measure.LEAKAGE_MA: "mA",
    Measure.TOUCH_MA: "mA",
}


@dataclass(frozen=True, slots=True)
class Appliance:
    """The facts of one machine that limits depend on. `heating_watts` is None when it has no heater.

    `older_equipment`: the tester chose the older-equipment earth rule, and says so.
    `elements_in_circuit`: AU/NZ, insulation was read with the heating elements connected.
    `hand_held_or_portable`: UK 4th edition, leakage of earthed machines without a heater.
    """

    appliance_class: ApplianceClass
    cord_length_m: Decimal | None
    cord_section_mm2: Decimal | None
    heating_watts: Decimal | None
    has_surge_parts: bool = False
    older_equipment: bool = False
    elements_in_circuit: bool = False
    hand_held_or_portable: bool = True

    def __post_init__(self) -> None:
        for name in ("cord_length_m", "cord_section_mm2", "heating_watts"):
            value: Decimal | None = getattr(self, name)
            if value is not None and not (value.is_finite() and value > 0):
                raise ValueError(f"{name} must be above zero")

    @property
    def is_class_i(self) -> bool:
        """Whether the machine has an earth wire."""
        return self.appliance_class is ApplianceClass.CLASS_I

    @property
    def heating_kw(self) -> Decimal | None:
        """Heating power in kW, None without a heater."""
        return None if self.heating_watts is None else self.heating_watts / 1000


@dataclass(frozen=True, slots=True)
class Limit:
    """One pass limit, inclusive; exactly one of `low` and `high` is set."""

    code: str
    low: Decimal | None
    high: Decimal | None
    unit: str
    words: str
    edition: str
    source: Source


def plain_number(value: Decimal) -> str:
    """The number without trailing zeros, but always with one decimal: 1.0, 0.3, 0.139."""
    trimmed = value.normalize()
    exponent = trimmed.as_tuple().exponent
    places = max(1, -exponent) if isinstance(exponent, int) else 1
    return f"{trimmed:.{places}f}"


def at_most(code: str, measure: Measure, high: Decimal, edition: str, source: Source, note: str = "") -> Limit:
    """A limit that a reading may not exceed."""
    words = f"{plain_number(high)} {measure.unit} or less{note}"
    return Limit(code, None, high, measure.unit, words, edition, source)


def at_least(code: str, measure: Measure, low: Decimal, edition: str, source: Source, note: str = "") -> Limit:
    """A limit that a reading may not fall under."""
    words = f"{plain_number(low)} {measure.unit} or more{note}"
    return Limit(code, low, None, measure.unit, words, edition, source)


def cord_facts(appliance: Appliance) -> tuple[Decimal, Decimal]:
    """Length in m and section in mm² of the cord.

    Raises MissingFact when either is unknown: the earth limit of some places depends on both.
    """
    if appliance.cord_length_m is None:
        raise MissingFact("Measure the length of the mains cord: the earth limit depends on it.")
    if appliance.cord_section_mm2 is None:
        raise MissingFact("Read the wire section printed on the mains cord: the earth limit depends on it.")
    return appliance.cord_length_m, appliance.cord_section_mm2
