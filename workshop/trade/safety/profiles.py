"""The limits of each place as data: a profile is a table of rules, one per measure."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from workshop.trade.safety import sources
from workshop.trade.safety.appliance import Appliance, Limit, Measure, at_least, at_most
from workshop.trade.safety.earth import de_earth, uk_earth
from workshop.trade.sources import Figure, Source

Rule = Callable[[Appliance, str], Limit | None]

_EARTH, _INSULATION = Measure.EARTH_OHM, Measure.INSULATION_MOHM
_LEAKAGE, _TOUCH = Measure.LEAKAGE_MA, Measure.TOUCH_MA

_EU_CODES = "AT BE BG HR CY CZ DK EE FI FR DE GR HU IE IT LV LT LU MT NL PL PT RO SK SI ES SE"
EU_PLACES = tuple(_EU_CODES.split())

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
class Profile:
    """The limits used in some places, in one edition.

    `record_only` means no pass limit exists in law there: readings are kept, never judged.
    """

    code: str
    title: str
    edition: str
    version: int
    places: tuple[str, ...]  # ISO 3166-1 country codes
    record_only: bool
    leakage_after_250_v: bool = False
    rules: Mapping[Measure, Rule] = field(default_factory=dict)
    type_test: Mapping[Measure, Rule] = field(default_factory=dict)

    def limit(self, measure: Measure, appliance: Appliance) -> Limit | None:
        """The pass limit, or None where there is none for this measure and machine.

        Raises MissingFact when the limit depends on a fact of the machine that is not known.
        """
        rule = self.rules.get(measure)
        return None if rule is None else rule(appliance, self.edition)

    def reference(self, measure: Measure, appliance: Appliance) -> Limit | None:
        """A type-test figure to compare with, never to judge by."""
        rule = self.type_test.get(measure)
        return None if rule is None else rule(appliance, self.edition)


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


def _de_insulation(appliance: Appliance, edition: str) -> Limit:
    # Heaters over 3.5 kW below 0.3 megohm may still pass on current; home machines never reach that.
    eased = appliance.heating_kw is not None
    return _insulation(appliance, edition, sources.DE_INSULATION, eased=eased)


def _uk_5_earth(appliance: Appliance, edition: str) -> Limit | None:
    return uk_earth(appliance, edition, allow_older=True) if appliance.is_class_i else None


def _uk_4_earth(appliance: Appliance, edition: str) -> Limit | None:
    return uk_earth(appliance, edition, allow_older=False) if appliance.is_class_i else None


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
    return de_earth(appliance, edition) if appliance.is_class_i else None


def _de_leakage(appliance: Appliance, edition: str) -> Limit | None:
    """1 mA per kW, up to 10 mA, over 3.5 kW of heating; a Class II machine has no protective conductor."""
    if not appliance.is_class_i:
        return None
    kw = appliance.heating_kw or Decimal(0)
    high = DE_LEAKAGE.value if kw <= DE_STRONG_HEATER.value else min(DE_LEAKAGE_CEILING.value, kw)
    return at_most("de_leakage", _LEAKAGE, high, edition, sources.DE_CURRENT)


def _de_touch(appliance: Appliance, edition: str) -> Limit:
    note = "" if not appliance.is_class_i else ", on metal that is not earthed"
    return at_most("de_touch", _TOUCH, DE_TOUCH.value, edition, sources.DE_CURRENT, note)


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


UK_IET_5 = Profile(
    code="uk_iet_5",
    title="United Kingdom, IET Code of Practice",
    edition="5th edition, 2020",
    version=1,
    places=("GB",),
    record_only=False,
    leakage_after_250_v=True,
    rules={_EARTH: _uk_5_earth, _INSULATION: _uk_insulation, _LEAKAGE: _uk_5_leakage},
)
UK_IET_4 = Profile(
    code="uk_iet_4",
    title="United Kingdom, IET Code of Practice, earlier edition",
    edition="4th edition, 2012",
    version=1,
    places=(),  # only by choice: the 5th edition replaced it
    record_only=False,
    leakage_after_250_v=True,
    rules={_EARTH: _uk_4_earth, _INSULATION: _uk_insulation, _LEAKAGE: _uk_4_leakage},
)
DE_EN50678 = Profile(
    code="de_en50678",
    title="Germany and the European Union, after repair",
    edition="EN 50678:2020",
    version=1,
    places=EU_PLACES,
    record_only=False,
    leakage_after_250_v=True,
    rules={_EARTH: _de_earth, _INSULATION: _de_insulation, _LEAKAGE: _de_leakage, _TOUCH: _de_touch},
)
AUNZ_5761 = Profile(
    code="aunz_5761",
    title="Australia and New Zealand, second-hand before sale",
    edition="AS/NZS 5761:2011 with AS/NZS 3760 limits",
    version=1,
    places=("AU", "NZ"),
    record_only=False,
    rules={_EARTH: _aunz_earth, _INSULATION: _aunz_insulation, _LEAKAGE: _aunz_leakage},
)
US_RECORD = Profile(
    code="us_record",
    title="United States and Canada, record only",
    edition="no limit in law for used goods",
    version=1,
    places=("US", "CA"),
    record_only=True,
    type_test={_EARTH: _us_earth, _LEAKAGE: _us_leakage},
)
RECORD_ONLY = Profile(
    code="record_only",
    title="Record only",
    edition="no limit known for this place",
    version=1,
    places=(),
    record_only=True,
)

PROFILES: dict[str, Profile] = {
    profile.code: profile for profile in (UK_IET_5, UK_IET_4, DE_EN50678, AUNZ_5761, US_RECORD, RECORD_ONLY)
}
_BY_PLACE = {place: profile for profile in PROFILES.values() for place in profile.places}


def profile_for(country: str) -> Profile:
    """The profile of an ISO 3166 country, or of a state within one; record only where no limit is known."""
    return _BY_PLACE.get(country.strip().upper().partition("-")[0], RECORD_ONLY)
