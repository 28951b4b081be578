"""A reading against its limit, and several readings against a profile."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum, auto
from typing import Literal

from workshop.trade.safety import sources
from workshop.trade.safety.appliance import Appliance, Limit, Measure, plain_number
from workshop.trade.safety.profiles import Profile
from workshop.trade.sources import Figure

Sign = Literal["", ">", "<"]

FULL_TEST_VOLTS = Figure(Decimal("500"), "V", sources.UK_CODE_5)
GENTLE_TEST_VOLTS = Figure(Decimal("250"), "V", sources.SURGE_PARTS)


class State(StrEnum):
    """What a reading says against its limit."""

    PASS = auto()
    FAIL = auto()
    RECORDED = auto()
    NOT_VERIFIED = auto()

    @property
    def label(self) -> str:
        """Plain words for the screen."""
        return _STATE_LABELS[self]


_STATE_LABELS = {
    State.PASS: "Passed",
    State.FAIL: "Failed",
    State.RECORDED: "Recorded",
    State.NOT_VERIFIED: "Not verified",
}


@dataclass(frozen=True, slots=True)
class Judgement:
    """One reading judged; value and sign are kept as the instrument showed them."""

    state: State
    value: Decimal
    sign: Sign
    limit: Limit | None
    words: str


def judge(limit: Limit | None, value: Decimal, *, sign: Sign = "") -> Judgement:
    """Compare, inclusively. A sign means the instrument's range ended there (">" above, "<" below).

    A reading beyond the range proves only what its direction can prove: "> 99.9" shows enough insulation,
    never a good earth; "< 0.01" shows a good earth, never enough insulation. Without a limit the reading is
    recorded. Raises ValueError for a negative or endless value.
    """
    if not value.is_finite() or value < 0:
        raise ValueError("a reading is a number of zero or more")
    shown = f"{sign} {plain_number(value)}".strip()
    if limit is None:
        return Judgement(State.RECORDED, value, sign, None, f"{shown}: recorded, no limit here")
    if limit.low is not None:
        passed = sign != "<" and value >= limit.low
    else:
        passed = sign != ">" and limit.high is not None and value <= limit.high
    state = State.PASS if passed else State.FAIL
    return Judgement(state, value, sign, limit, f"{shown} {limit.unit}, limit {limit.words}: {state.label.lower()}")


def insulation_volts(appliance: Appliance) -> int:
    """Test voltage for insulation: 250 V where surge parts would trip at 500 V and read falsely low."""
    return int((GENTLE_TEST_VOLTS if appliance.has_surge_parts else FULL_TEST_VOLTS).value)


def needs_leakage(profile: Profile, ir_volts: int | Decimal, appliance: Appliance | None = None) -> bool:
    """Whether insulation alone does not settle it and a leakage or touch reading must stand beside it.

    True for UK and DE when insulation was read below 500 V; and, with `appliance` given, for AU/NZ when the
    heating elements were in circuit (10 kilohm alone would let 23 mA through at 230 V).
    """
    if profile.leakage_after_250_v and ir_volts < FULL_TEST_VOLTS.value:
        return True
    if appliance is None or profile.record_only:
        return False
    limit = profile.limit(Measure.INSULATION_MOHM, appliance)
    return limit is not None and limit.code == "aunz_insulation_element"


def needed_measures(profile: Profile, appliance: Appliance, ir_volts: int | Decimal) -> tuple[Measure, ...]:
    """The readings without which this machine is not verified; none where readings are only recorded."""
    if profile.record_only:
        return ()
    earth = (Measure.EARTH_OHM,) if appliance.is_class_i else ()
    needed = (*earth, Measure.INSULATION_MOHM)
    if not needs_leakage(profile, ir_volts, appliance):
        return needed
    has_leakage = profile.limit(Measure.LEAKAGE_MA, appliance) is not None
    return (*needed, Measure.LEAKAGE_MA if has_leakage else Measure.TOUCH_MA)


@dataclass(frozen=True, slots=True)
class Verdict:
    """All readings together: the worst of them, and what is still missing."""

    state: State
    missing: tuple[Measure, ...]


def verdict(
    profile: Profile, appliance: Appliance, readings: Mapping[Measure, Judgement], *, ir_volts: int | Decimal
) -> Verdict:
    """The result of a profile is its worst row; a missing needed reading is never a pass."""
    states = {judgement.state for judgement in readings.values()}
    missing = tuple(m for m in needed_measures(profile, appliance, ir_volts) if m not in readings)
    if State.FAIL in states:
        return Verdict(State.FAIL, missing)
    if missing:
        return Verdict(State.NOT_VERIFIED, missing)
    return Verdict(State.RECORDED if profile.record_only else State.PASS, ())


def resistive_leakage_ma(volts: Decimal, insulation_mohm: Decimal) -> Decimal:
    """Cross-check: the current a resistance would let through, in mA, to two decimals (S-16).

    Raises ValueError unless the resistance is above zero.
    """
    if insulation_mohm <= 0:
        raise ValueError("insulation resistance must be above zero")
    return (volts / insulation_mohm / 1000).quantize(Decimal("0.01"))
