"""The care tasks as a table: how often at least, usually and at most, and for which machines (V-01 to V-03)."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from workshop.trade.care.sources import CARE_GUIDES, HOME_DRINKS_PER_DAY, STOOD_WEEK, TANK_FILTER
from workshop.trade.care.spans import month_days
from workshop.trade.sources import Source

BOILERS = frozenset({"SINGLE_BOILER", "HEAT_EXCHANGER", "DUAL_BOILER", "LEVER"})
KINDS = BOILERS | {"THERMOBLOCK", "GRINDER"}


@dataclass(frozen=True, slots=True)
class CareInputs:
    """A buyer's use and water. Hardness and alkalinity are mg/L as CaCO3, as the water reaches the machine.

    `maker_overrides` gives days by task code. Raises ValueError, with a sentence, for impossible values.
    """

    drinks_per_day: Decimal
    milk_drinks_per_day: Decimal
    hardness_mg_l: Decimal
    alkalinity_mg_l: Decimal | None
    kind: str
    has_three_way_valve: bool
    has_grinder: bool
    has_filter: bool
    maker_overrides: Mapping[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"No care rules are known for the kind {self.kind!r}.")
        if not (self.drinks_per_day.is_finite() and self.drinks_per_day > 0):
            raise ValueError("Drinks a day must be above zero.")
        if not (self.milk_drinks_per_day.is_finite() and 0 <= self.milk_drinks_per_day <= self.drinks_per_day):
            raise ValueError("Milk drinks a day must lie between zero and all drinks.")
        _check_overrides(self.maker_overrides)

    @property
    def makes_coffee(self) -> bool:
        """Whether it is an espresso machine, not a grinder alone."""
        return self.kind != "GRINDER"

    @property
    def grinds(self) -> bool:
        """Whether there is a grinder to care for."""
        return self.has_grinder or not self.makes_coffee

    @property
    def steams(self) -> bool:
        """Whether milk is made with it."""
        return self.makes_coffee and self.milk_drinks_per_day > 0


class Pace(StrEnum):
    """What sets the interval."""

    AFTER_USE = "after_use"
    DRINKS = "drinks"
    FIXED = "fixed"


@dataclass(frozen=True, slots=True)
class CareRule:
    """One task. Days: `low` is the most frequent advice found, `high` the least; all None when after use."""

    code: str
    words: str
    why: str
    pace: Pace
    low: int | None
    typical: int | None
    high: int | None
    applies: Callable[[CareInputs], bool]
    source: Source

    def every_days(self, inputs: CareInputs) -> int | None:
        """Days between, before they are made neat; twice the drinks halves them, within what advice spans."""
        if self.pace is not Pace.DRINKS or self.low is None or self.typical is None or self.high is None:
            return self.typical
        by_use = int(self.typical * HOME_DRINKS_PER_DAY.value / inputs.drinks_per_day)
        return min(self.high, max(self.low, by_use))


def _coffee(inputs: CareInputs) -> bool:
    return inputs.makes_coffee


def _three_way(inputs: CareInputs) -> bool:
    # Without the valve detergent can be pushed into the boiler: no backflush is offered at all.
    return inputs.makes_coffee and inputs.has_three_way_valve


def _filter(inputs: CareInputs) -> bool:
    return inputs.makes_coffee and inputs.has_filter


def _boiler(inputs: CareInputs) -> bool:
    return inputs.kind in BOILERS


def _steams(inputs: CareInputs) -> bool:
    return inputs.steams


def _grinds(inputs: CareInputs) -> bool:
    return inputs.grinds


RULES: tuple[CareRule, ...] = (
    CareRule(
        "FLUSH_GROUP",
        "Run a little water through the group. Wipe the basket and the shower screen.",
        "Old coffee turns rancid and sticks.",
        Pace.AFTER_USE, None, None, None, _coffee, CARE_GUIDES,
    ),
    CareRule(
        "WIPE_WAND",
        "Let steam out of the wand, wipe it with a clean damp cloth, let steam out again.",
        "Milk dries on within minutes, and steamed milk is not sterile.",
        Pace.AFTER_USE, None, None, None, _steams, CARE_GUIDES,
    ),
    CareRule(
        "STOOD_A_WEEK",
        "Unused for 7 days or more: empty the tank, fill it fresh, heat up, and flush before you drink.",
        "Germs grow in standing water.",
        Pace.AFTER_USE, None, None, None, _coffee, STOOD_WEEK,
    ),
    CareRule(
        "RINSE_HANDLE",
        "Rinse the filter handle (portafilter). Empty and rinse the tray.",
        "Coffee oil and wet grounds go off in a day.",
        Pace.FIXED, 1, 1, 7, _coffee, CARE_GUIDES,
    ),
    CareRule(
        "PLAIN_BACKFLUSH",
        "Backflush with the blind basket and water only.",
        "It rinses the coffee out of the three-way valve.",
        Pace.DRINKS, 1, 3, 7, _three_way, CARE_GUIDES,
    ),
    CareRule(
        "DETERGENT_BACKFLUSH",
        "Backflush with espresso detergent, then rinse with water only until no foam comes.",
        "Coffee oil hardens in the three-way valve.",
        Pace.DRINKS, 1, 7, 28, _three_way, CARE_GUIDES,
    ),
    CareRule(
        "SOAK_SCREEN",
        "Take off the shower screen and soak it with the basket in espresso detergent. Rinse well.",
        "Coffee oil clogs the small holes.",
        Pace.DRINKS, 7, 30, 60, _coffee, CARE_GUIDES,
    ),
    CareRule(
        "BOILER_WATER",
        "Draw fresh water through the group and the hot-water tap to renew the boiler's water.",
        "Minerals gather in a boiler as steam leaves it.",
        Pace.FIXED, 91, 91, 91, _boiler, CARE_GUIDES,
    ),
    CareRule(
        "CHANGE_FILTER",
        "Change the water filter.",
        "A spent filter softens nothing and can grow germs.",
        Pace.FIXED, 60, 60, 91, _filter, TANK_FILTER,
    ),
    CareRule(
        "CHANGE_GASKET",
        "Change the group gasket. Look at the shower screen and change it when it is worn.",
        "Heat hardens the rubber until it leaks.",
        Pace.DRINKS, month_days(3), month_days(12), month_days(24), _coffee, CARE_GUIDES,
    ),
    CareRule(
        "BRUSH_GRINDER",
        "Unplug the grinder, take out the upper burr and brush out old coffee. No water.",
        "Old grounds taste stale and shift the dose.",
        Pace.DRINKS, 7, 30, month_days(12), _grinds, CARE_GUIDES,
    ),
)  # fmt: skip

DESCALE = "DESCALE"
TASK_CODES = frozenset(rule.code for rule in RULES) | {DESCALE}


def _check_overrides(overrides: Mapping[str, int]) -> None:
    for code, days in overrides.items():
        if code not in TASK_CODES:
            raise ValueError(f"No care task has the code {code!r}.")
        if days < 1:
            raise ValueError("A maker's interval is at least one day.")
