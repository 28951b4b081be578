"""One machine to show limits on: what each rule comes to for an ordinary cord and heater."""

from dataclasses import replace
from decimal import Decimal

from workshop.bench import limits
from workshop.bench.card_items import cards_for
from workshop.bench.cards import Item, Unit
from workshop.bench.limits import BenchLimit, Usual
from workshop.bench.words import OwnMeasure
from workshop.core.words import Kind, Pump
from workshop.trade.safety.electrical import Appliance, ApplianceClass, Measure, Profile

# An ordinary home machine, made up to show figures on. House policy.
CORD_M, SECTION_MM2, WATTS, PUMP_WATTS = Decimal("1.5"), Decimal("1.0"), 1400, 48
WHOLE = Decimal(100)  # a share is shown, and compared, of a hundred
_WHOLES: dict[OwnMeasure, Decimal | int] = {
    OwnMeasure.WATTS: WATTS,
    OwnMeasure.WATTS_PUMPING: PUMP_WATTS,
    OwnMeasure.STEAM_POWER: WATTS,
    OwnMeasure.DEBIT: WHOLE,
}
WORDS = "1.5 m of cord of 1.0 mm², 1,400 W, Class I"


def example_unit(profile: Profile, *, pump: Pump = Pump.VIBRATORY, class_ii: bool = False) -> Unit:
    """Return the example machine under a profile."""
    appliance = Appliance(
        ApplianceClass.CLASS_II if class_ii else ApplianceClass.CLASS_I, CORD_M, SECTION_MM2, Decimal(WATTS)
    )
    plain = Unit(Kind.SINGLE_BOILER, pump, True, 230, WATTS, "", False, profile, appliance)
    return replace(plain, pump_watts=PUMP_WATTS, has_three_way_valve=True)


def electrical_item(measure: Measure) -> Item:
    """Return an item that reads one electrical measure."""
    return Item(measure.value, measure.label, "", unit=measure.unit, measure=measure)


def example_limits(profile: Profile, measure: OwnMeasure) -> list[BenchLimit]:
    """Return the place's limits of a measure on the example: both classes, both pumps; shares in percent.

    A measure without a limit has none here.
    """
    electrical = measure.electrical
    if electrical is not None:
        found = [
            limits.place_limit(electrical_item(electrical), example_unit(profile, class_ii=two))
            for two in (False, True)
        ]
    else:
        found = [_bench(example_unit(profile, pump=pump), measure) for pump in (Pump.VIBRATORY, Pump.ROTARY)]
    return list(dict.fromkeys(limit for limit in found if limit is not None))


def _bench(unit: Unit, measure: OwnMeasure) -> BenchLimit | None:
    item = next((i for card in cards_for(unit) for i in card.items if i.code == measure), None)
    limit = limits.place_limit(item, unit, Usual(WHOLE, 1)) if item else None
    if limit is None or measure.unit != "%":
        return limit
    whole = _WHOLES[measure]
    low, high = (None if end is None else round(end * 100 / whole, 1) for end in (limit.low, limit.high))
    return replace(limit, low=low, high=high, words=measure.limit_words(low, high), head="Limit")
