"""The rule of each measure in each place: its words, and the limit it gives for one machine."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from workshop.trade.safety import earth, sources
from workshop.trade.safety.appliance import Appliance, Limit, Measure, at_least, at_most, plain_number
from workshop.trade.sources import Figure, Source

_EARTH, _INSULATION = Measure.EARTH_OHM, Measure.INSULATION_MOHM
_LEAKAGE, _TOUCH = Measure.LEAKAGE_MA, Measure.TOUCH_MA

# Megohm, the same figures in the IET Code (S-01) and in DIN VDE 0701-0702 (S-06).
INSULATION_CLASS_I = Decimal("1.0")
INSULATION_HEATING = Decimal("0.3")
INSULATION_CLASS_II = Decimal("2.0")
UK_HEATING_BELOW = Figure(Decimal("3"), "kW", sources.UK_CODE_5)

UK_5_LEAKAGE = Figure(Decimal("5.0"), "mA", sources.UK_CODE_5)
UK_4_PORTABLE = Figure(Decimal("0.75"), "mA", sources.UK_CODE_4)
UK_4_PER_KW = Figure(Decimal("0.75"), "mA/kW", sources.UK_CODE_4)
UK_4_OTHER = Figure(Decimal("3.5"), "mA", sources.UK_CODE_4)
UK_4_CLASS_II = Figure(Decimal("0.25"), "mA", sources.UK_CODE_4)
UK_4_CEILING = Figure(Decimal("5.0"), "mA", sources.UK_CODE_4)

DE_LEAKAGE = Figure(Decimal("3.5"), "mA", sources.DE_CURRENT)
DE_STRONG_HEATER = Figure(Decimal("3.5"), "kW", sources.DE_CURRENT)
DE_LEAKAGE_CEILING = Figure(Decimal("10.0"), "mA", sources.DE_CURRENT)
DE_TOUCH = Figure(Decimal("0.5"), "mA", sources.DE_CURRENT)

AUNZ_EARTH = Figure(Decimal("1.0"), "ohm", sources.AUNZ_EARTH)
AUNZ_INSULATION = Figure(Decimal("1.0"), "megohm", sources.AUNZ_INSULATION)
AUNZ_ELEMENT = Figure(Decimal("0.01"), "megohm", sources.AUNZ_ELEMENT)
AUNZ_LEAKAGE_I = Figure(Decimal("5.0"), "mA", sources.AUNZ_LEAKAGE)
AUNZ_LEAKAGE_II = Figure(Decimal("1.0"), "mA", sources.AUNZ_LEAKAGE)

US_EARTH = Figure(Decimal("0.1"), "ohm", sources.US_TYPE_TEST)
US_LEAKAGE = Figure(Decimal("0.5"), "mA", sources.US_TYPE_TEST)


@dataclass(frozen=True, slots=True)
class Rule:
    """One measure's rule: in words for any machine, and `of(appliance, edition)` for one.

    `of` gives None where the machine has no such limit, and raises MissingFact when a fact it needs is not known.
    """

    words: str
    source: Source
    of: Callable[[Appliance, str], Limit | None]


def _insulation(appliance: Appliance, edition: str, source: Source, *, eased: bool) -> Limit:
    if not appliance.is_class_i:
        return at_least("insulation_class_ii", _INSULATION, INSULATION_CLASS_II, edition, source)
    if eased:
        return at_least("insulation_heating", _INSULATION, INSULATION_HEATING, edition, source)
    return at_least("insulation_class_i", _INSULATION, INSULATION_CLASS_I, edition, source)


def _uk_insulation(appliance: Appliance, edition: str) -> Limit:
    kw = appliance.heating_kw
    eased = kw is not None and kw < UK_HEATING_BELOW.value
    return _insulation(appliance, edition, sources.UK_CODE_5, eased=eased)


def _de_insulation(appliance: Appliance, edition: str, source: Source = sources.DE_INSULATION) -> Limit:
    # Heaters over 3.5 kW below 0.3 megohm may still pass on current; home machines never reach that.
    eased = appliance.heating_kw is not None
    return _insulation(appliance, edition, source, eased=eased)


def _uk_5_earth(appliance: Appliance, edition: str) -> Limit | None:
    return earth.uk_earth(appliance, edition, allow_older=True) if appliance.is_class_i else None


def _uk_4_earth(appliance: Appliance, edition: str) -> Limit | None:
    return earth.uk_earth(appliance, edition, allow_older=False) if appliance.is_class_i else None


def _uk_5_leakage(appliance: Appliance, edition: str) -> Limit:
    return at_most("uk_5_leakage", _LEAKAGE, UK_5_LEAKAGE.value, edition, sources.UK_CODE_5)


def uk_4_leakage_ma(appliance: Appliance) -> Decimal:
    """4th edition, in mA: by class, then by heating power, then by how the machine is used."""
    if not appliance.is_class_i:
        return UK_4_CLASS_II.value
    if appliance.heating_kw is not None:
        by_power = max(UK_4_PORTABLE.value, UK_4_PER_KW.value * appliance.heating_kw)
        return min(UK_4_CEILING.value, by_power)
    return UK_4_PORTABLE.value if appliance.hand_held_or_portable else UK_4_OTHER.value


def _uk_4_leakage(appliance: Appliance, edition: str) -> Limit:
    return at_most("uk_4_leakage", _LEAKAGE, uk_4_leakage_ma(appliance), edition, sources.UK_CODE_4)


def _de_earth(appliance: Appliance, edition: str) -> Limit | None:
    return earth.de_earth(appliance, edition) if appliance.is_class_i else None


def _de_leakage(appliance: Appliance, edition: str, source: Source = sources.DE_CURRENT) -> Limit | None:
    """1 mA per kW, up to 10 mA, over 3.5 kW of heating; a Class II machine has no protective conductor."""
    if not appliance.is_class_i:
        return None
    kw = appliance.heating_kw or Decimal(0)
    high = DE_LEAKAGE.value if kw <= DE_STRONG_HEATER.value else min(DE_LEAKAGE_CEILING.value, kw)
    return at_most("de_leakage", _LEAKAGE, high, edition, source)


def _de_touch(appliance: Appliance, edition: str, source: Source = sources.DE_CURRENT) -> Limit:
    note = "" if not appliance.is_class_i else ", on metal that is not earthed"
    return at_most("de_touch", _TOUCH, DE_TOUCH.value, edition, source, note)


def _aunz_earth(appliance: Appliance, edition: str) -> Limit | None:
    if not appliance.is_class_i:
        return None
    return at_most("aunz_earth", _EARTH, AUNZ_EARTH.value, edition, sources.AUNZ_EARTH)


def _aunz_insulation(appliance: Appliance, edition: str) -> Limit:
    if appliance.is_class_i and appliance.elements_in_circuit and appliance.heating_watts is not None:
        note = ", heating elements connected"
        figure = AUNZ_ELEMENT
        return at_least("aunz_insulation_element", _INSULATION, figure.value, edition, figure.source, note)
    figure = AUNZ_INSULATION
    return at_least("aunz_insulation", _INSULATION, figure.value, edition, figure.source)


def _aunz_leakage(appliance: Appliance, edition: str) -> Limit:
    figure = AUNZ_LEAKAGE_I if appliance.is_class_i else AUNZ_LEAKAGE_II
    return at_most("aunz_leakage", _LEAKAGE, figure.value, edition, figure.source)


def _us_earth(appliance: Appliance, edition: str) -> Limit | None:
    if not appliance.is_class_i:
        return None
    return at_most("us_type_earth", _EARTH, US_EARTH.value, edition, US_EARTH.source, ", type test")


def _us_leakage(appliance: Appliance, edition: str) -> Limit:
    return at_most("us_type_leakage", _LEAKAGE, US_LEAKAGE.value, edition, US_LEAKAGE.source, ", type test")


# --- the tables: what each profile is made of ------------------------------------------------------------


def _n(figure: Figure | Decimal) -> str:
    return plain_number(figure.value if isinstance(figure, Figure) else figure)


_INSULATION_TAIL = f"{_n(INSULATION_CLASS_II)} for Class II"
_UK_EARTH = f"{_n(earth.UK_BASE)} ohm, and the cord's own resistance: its length times the ohms a metre of its section"
_UK_INSULATION = (
    f"{_n(INSULATION_CLASS_I)} megohm; {_n(INSULATION_HEATING)} where it heats with less than "
    f"{UK_HEATING_BELOW.value} kW; {_INSULATION_TAIL}"
)
_UK_4_LEAKAGE = (
    f"{_n(UK_4_PER_KW)} mA for each kW of heating, at least {_n(UK_4_PORTABLE)} and at most {_n(UK_4_CEILING)}; "
    f"without a heater {_n(UK_4_PORTABLE)}; {_n(UK_4_CLASS_II)} for Class II"
)
_DE_EARTH = (
    f"{_n(earth.DE_FIRST)} ohm up to {earth.DE_FIRST_LENGTH.value} m of cord, {_n(earth.DE_STEP)} more for each "
    f"further {_n(earth.DE_STEP_LENGTH)} m begun, at most {_n(earth.DE_CEILING)}; over {_n(earth.DE_THIN_CORD)} mm² "
    f"{_n(earth.DE_STEP)} ohm and the copper's own resistance"
)
_DE_INSULATION = f"{_n(INSULATION_CLASS_I)} megohm; {_n(INSULATION_HEATING)} where it heats; {_INSULATION_TAIL}"
_DE_LEAKAGE = (
    f"{_n(DE_LEAKAGE)} mA; over {_n(DE_STRONG_HEATER)} kW of heating 1 mA for each kW, at most {_n(DE_LEAKAGE_CEILING)}"
)
_DE_TOUCH = f"{_n(DE_TOUCH)} mA, on Class II and on metal that is not earthed"
_AUNZ_INSULATION = (
    f"{_n(AUNZ_INSULATION)} megohm at 500 V, or at 250 V where surge parts are fitted; "
    f"{_n(AUNZ_ELEMENT)} with heating elements connected"
)
_AUNZ_LEAKAGE = f"{_n(AUNZ_LEAKAGE_I)} mA for Class I, {_n(AUNZ_LEAKAGE_II)} for Class II"

UK_5_RULES: Mapping[Measure, Rule] = {
    _EARTH: Rule(f"{_UK_EARTH}; {_n(earth.UK_OLDER)} by the older-equipment rule", sources.UK_CODE_5, _uk_5_earth),
    _INSULATION: Rule(_UK_INSULATION, sources.UK_CODE_5, _uk_insulation),
    _LEAKAGE: Rule(f"{_n(UK_5_LEAKAGE)} mA, Class I and Class II", sources.UK_CODE_5, _uk_5_leakage),
}
UK_4_RULES: Mapping[Measure, Rule] = {
    _EARTH: Rule(_UK_EARTH, sources.UK_CODE_5, _uk_4_earth),
    _INSULATION: Rule(_UK_INSULATION, sources.UK_CODE_5, _uk_insulation),
    _LEAKAGE: Rule(_UK_4_LEAKAGE, sources.UK_CODE_4, _uk_4_leakage),
}
DE_REPAIR_RULES: Mapping[Measure, Rule] = {
    _EARTH: Rule(_DE_EARTH, sources.DE_EARTH, _de_earth),
    _INSULATION: Rule(_DE_INSULATION, sources.DE_INSULATION, _de_insulation),
    _LEAKAGE: Rule(_DE_LEAKAGE, sources.DE_CURRENT, _de_leakage),
    _TOUCH: Rule(_DE_TOUCH, sources.DE_CURRENT, _de_touch),
}
DE_PERIODIC_RULES: Mapping[Measure, Rule] = {
    _EARTH: Rule(_DE_EARTH, sources.DE_EARTH, _de_earth),
    _INSULATION: Rule(_DE_INSULATION, sources.DE_PERIODIC, partial(_de_insulation, source=sources.DE_PERIODIC)),
    _LEAKAGE: Rule(_DE_LEAKAGE, sources.DE_PERIODIC, partial(_de_leakage, source=sources.DE_PERIODIC)),
    _TOUCH: Rule(_DE_TOUCH, sources.DE_PERIODIC, partial(_de_touch, source=sources.DE_PERIODIC)),
}
AUNZ_RULES: Mapping[Measure, Rule] = {
    _EARTH: Rule(f"{_n(AUNZ_EARTH)} ohm, whatever the cord", AUNZ_EARTH.source, _aunz_earth),
    _INSULATION: Rule(_AUNZ_INSULATION, AUNZ_INSULATION.source, _aunz_insulation),
    _LEAKAGE: Rule(_AUNZ_LEAKAGE, AUNZ_LEAKAGE_I.source, _aunz_leakage),
}
US_TYPE_TEST: Mapping[Measure, Rule] = {
    _EARTH: Rule(f"{_n(US_EARTH)} ohm when it was new, to compare with", US_EARTH.source, _us_earth),
    _LEAKAGE: Rule(f"{_n(US_LEAKAGE)} mA when it was new, to compare with", US_LEAKAGE.source, _us_leakage),
}
