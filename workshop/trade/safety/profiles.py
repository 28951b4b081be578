"""The limits of each place as data: a profile is a table of rules, one per measure, in one edition and version."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from workshop.trade.safety import rules, sources
from workshop.trade.safety.appliance import Appliance, Limit, Measure
from workshop.trade.safety.rules import Rule
from workshop.trade.sources import Source

_EU_CODES = "AT BE BG HR CY CZ DK EE FI FR DE GR HU IE IT LV LT LU MT NL PL PT RO SK SI ES SE"
EU_PLACES = tuple(_EU_CODES.split())


@dataclass(frozen=True, slots=True)
class Profile:
    """The limits used in some places, in one edition.

    `record_only` means no pass limit exists in law there: readings are kept, never judged. A figure that changes
    makes the next `version`; the old one stays in the table below, for machines that began with it.
    """

    code: str
    title: str
    edition: str
    version: int
    places: tuple[str, ...]  # ISO 3166-1 country codes
    record_only: bool
    leakage_after_250_v: bool = False
    source: Source | None = None  # why there is no limit, where there is none
    rules: Mapping[Measure, Rule] = field(default_factory=dict)
    type_test: Mapping[Measure, Rule] = field(default_factory=dict)

    def limit(self, measure: Measure, appliance: Appliance) -> Limit | None:
        """The pass limit, or None where there is none for this measure and machine.

        Raises MissingFact when the limit depends on a fact of the machine that is not known.
        """
        rule = self.rules.get(measure)
        return None if rule is None else rule.of(appliance, self.edition)

    def reference(self, measure: Measure, appliance: Appliance) -> Limit | None:
        """A type-test figure to compare with, never to judge by."""
        rule = self.type_test.get(measure)
        return None if rule is None else rule.of(appliance, self.edition)


UK_IET_5 = Profile(
    code="uk_iet_5",
    title="United Kingdom, IET Code of Practice",
    edition="5th edition, 2020",
    version=1,
    places=("GB",),
    record_only=False,
    leakage_after_250_v=True,
    rules=rules.UK_5_RULES,
)
UK_IET_4 = Profile(
    code="uk_iet_4",
    title="United Kingdom, IET Code of Practice, earlier edition",
    edition="4th edition, 2012",
    version=1,
    places=(),  # only by choice: the 5th edition replaced it
    record_only=False,
    leakage_after_250_v=True,
    rules=rules.UK_4_RULES,
)
DE_EN50678 = Profile(
    code="de_en50678",
    title="Germany and the European Union, after repair",
    edition="EN 50678:2020",
    version=1,
    places=EU_PLACES,
    record_only=False,
    leakage_after_250_v=True,
    rules=rules.DE_REPAIR_RULES,
)
DE_EN50699 = Profile(
    code="de_en50699",
    title="Germany and the European Union, periodic test",
    edition="EN 50699:2020",
    version=1,
    places=(),  # only by choice: a machine that was mended is tested after repair
    record_only=False,
    leakage_after_250_v=True,
    rules=rules.DE_PERIODIC_RULES,
)
AUNZ_5761 = Profile(
    code="aunz_5761",
    title="Australia and New Zealand, second-hand before sale",
    edition="AS/NZS 5761:2011 with AS/NZS 3760 limits",
    version=1,
    places=("AU", "NZ"),
    record_only=False,
    rules=rules.AUNZ_RULES,
)
US_RECORD = Profile(
    code="us_record",
    title="United States, record only",
    edition="no limit in law for used goods",
    version=1,
    places=("US",),
    record_only=True,
    source=sources.US_TYPE_TEST,
    type_test=rules.US_TYPE_TEST,
)
CA_RECORD = Profile(
    code="ca_record",
    title="Canada, record only",
    edition="certified or field-evaluated before sale; no limit for used goods was read",
    version=1,
    places=("CA",),
    record_only=True,
    source=sources.CA_APPROVAL,
)
RECORD_ONLY = Profile(
    code="record_only",
    title="Record only",
    edition="no limit known for this place",
    version=1,
    places=(),
    record_only=True,
)

EVERY_VERSION: tuple[Profile, ...] = (
    UK_IET_5,
    UK_IET_4,
    DE_EN50678,
    DE_EN50699,
    AUNZ_5761,
    US_RECORD,
    CA_RECORD,
    RECORD_ONLY,
)


def newest(versions: Iterable[Profile]) -> dict[str, Profile]:
    """The newest version of each profile, by its code, in the order first named."""
    found: dict[str, Profile] = {}
    for profile in versions:
        held = found.get(profile.code)
        if held is None or profile.version > held.version:
            found[profile.code] = profile
    return found


def version_of(versions: Iterable[Profile], code: str, version: int) -> Profile:
    """The profile as a machine began with it; the newest one where that version is not kept, else record only."""
    kept = tuple(versions)
    exact = next((p for p in kept if (p.code, p.version) == (code, version)), None)
    return exact or newest(kept).get(code, RECORD_ONLY)


PROFILES: dict[str, Profile] = newest(EVERY_VERSION)
_BY_PLACE = {place: profile for profile in PROFILES.values() for place in profile.places}


def profile_for(country: str) -> Profile:
    """The profile of an ISO 3166 country, or of a state within one; record only where no limit is known."""
    return _BY_PLACE.get(country.strip().upper().partition("-")[0], RECORD_ONLY)
