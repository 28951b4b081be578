"""The limit of each item, shown before typing, and the judgement after: electrical from the profile, else bands."""

from dataclasses import dataclass
from decimal import Decimal

from workshop.bench.cards import Item, Unit
from workshop.bench.words import ends_words
from workshop.core.templatetags.measures import number
from workshop.core.words import Outcome, Pump
from workshop.trade.coffee import bands
from workshop.trade.coffee.sources import BREW_SPREAD_C
from workshop.trade.safety import electrical
from workshop.trade.safety.electrical import Measure, MissingFact, OwnLimit, combine
from workshop.trade.sources import HOUSE_POLICY

__all__ = ["BenchLimit", "MissingFact", "judge", "limit_for", "place_limit", "seen_limit"]

SPREAD_WORDS = f"no more than {number(BREW_SPREAD_C.value)} °C apart"
# House policy where a place only records: a meter beyond its range on the bad side has shown what is wrong.
_BEYOND_RANGE = {
    Measure.EARTH_OHM: ">",
    Measure.INSULATION_MOHM: "<",
    Measure.LEAKAGE_MA: ">",
    Measure.TOUCH_MA: ">",
}


@dataclass(frozen=True, slots=True)
class BenchLimit:
    """A limit with its words, both ends inclusive, and where it comes from."""

    low: Decimal | None
    high: Decimal | None
    words: str
    head: str = "Limit"
    edition: str = ""
    source: str = ""
    own: str = ""  # how our own limit changed it, in words


def limit_for(item: Item, unit: Unit, usual_ml: Decimal | None = None) -> BenchLimit | None:
    """Return the limit of one item on one machine, or None where it is recorded only.

    :raises MissingFact: when the limit depends on a fact of the machine that is not known
    """
    base = place_limit(item, unit, usual_ml)
    own = unit.own.get(item.measure.value if item.measure else item.code)
    scaled = _scaled(own, item, unit, usual_ml) if own else None
    return _with_own(item, base, scaled) if scaled else base


def place_limit(item: Item, unit: Unit, usual_ml: Decimal | None = None) -> BenchLimit | None:
    """Return the limit without our own: of the place's profile, or the band of the bench.

    :raises MissingFact: when the limit depends on a fact of the machine that is not known
    """
    if item.measure is not None:
        return _electrical(item, unit)
    if item.code == "pressure":
        return _band(bands.blind_pressure(rotary=unit.pump == Pump.ROTARY))
    if item.code == "brew_water":
        band = _band(bands.brewing_water())
        return BenchLimit(band.low, band.high, f"{band.words}, {SPREAD_WORDS}", "Limit", band.edition, band.source)
    if item.code == "debit":
        return _band(bands.water_let_through(usual_ml)) if usual_ml else None
    if item.code == "watts_heating":
        return _watts(unit)
    if item.code == "ready" and unit.ready_high_min:
        words = f"{unit.ready_high_min} min or less"
        return BenchLimit(None, Decimal(unit.ready_high_min), words, "Limit, from the model notes", "", "model notes")
    return None


def _scaled(own: OwnLimit, item: Item, unit: Unit, usual_ml: Decimal | None) -> OwnLimit | None:
    """Return our own limit in the item's unit: a share is of the plate's watts, or of the model's usual water."""
    if item.code not in _SHARES:
        return own
    whole = Decimal(unit.watts or 0) if item.code == "watts_heating" else usual_ml
    if not whole:
        return None
    low, high = (None if end is None else round(end * whole / 100, 1) for end in (own.low, own.high))
    return OwnLimit(low, high, own.reason)


_SHARES = ("watts_heating", "debit")


def _with_own(item: Item, base: BenchLimit | None, own: OwnLimit) -> BenchLimit | None:
    """Return the limit that counts: the stricter end, the looser one only with its reason, and how it came."""
    counts = combine((base.low, base.high) if base else (None, None), own)
    if not (counts.tightened or counts.loosened):
        return base
    words = ends_words(counts.low, counts.high, item.unit)
    if item.code == "brew_water":
        words = f"{words}, {SPREAD_WORDS}"
    if base is None:
        return BenchLimit(counts.low, counts.high, words, "Our own limit", "", "our own limit", "our own limit")
    said = f"our own limit, stricter than {base.words}"
    if counts.loosened:
        said = f"our own limit, wider than {base.words}, because {own.reason}"
    return BenchLimit(counts.low, counts.high, words, "Our own limit", base.edition, base.source, said)


def seen_limit(item: Item) -> str:
    """Return the limit of a thing that is seen, in words: what it must look like."""
    good = item.answers[0].words
    return "none" if good == "none seen" else good


def _electrical(item: Item, unit: Unit) -> BenchLimit | None:
    limit = unit.profile.limit(item.measure, unit.appliance) if item.measure else None
    if limit is None:
        return None
    head = f"Limit, {unit.cord_words}" if item.code == "earth" and unit.cord_words and "cord" not in limit.words else ""
    if item.measure is Measure.INSULATION_MOHM and unit.watts and unit.appliance.heating_watts:
        head = f"Limit, for {number(unit.watts)} W heating"
    edition = f"{unit.profile.title}, {limit.edition}"[:120]
    source = f"{limit.source.code} {limit.source.title}"[:120]
    return BenchLimit(limit.low, limit.high, limit.words, head or "Limit", edition, source)


def _band(band: bands.Band) -> BenchLimit:
    words = ends_words(band.low, band.high, band.unit)
    return BenchLimit(band.low, band.high, words, "Limit", f"{HOUSE_POLICY.title}", band.source_words[:120])


def _watts(unit: Unit) -> BenchLimit | None:
    if not unit.watts:
        return None
    try:
        band = electrical.rated_watts_band(Decimal(unit.watts))
    except ValueError:
        return None
    words = f"{number(band.low)} to {number(band.high)} W"
    source = f"{band.source.code} {band.source.title}"[:120]
    return BenchLimit(band.low, band.high, words, f"Limit, for {number(unit.watts)} W on the plate", "", source)


def judge(
    item: Item, limit: BenchLimit | None, value: Decimal, *, value_to: Decimal | None = None, sign: str = ""
) -> Outcome:
    """Compare inclusively; a sign means the meter's range ended there and shows one side only."""
    if limit is None:
        beyond = item.measure is not None and sign != "" and _BEYOND_RANGE.get(item.measure) == sign
        return Outcome.FAIL if beyond else Outcome.RECORDED
    band = bands.Band(limit.low, limit.high, item.unit, ())
    inside = all(band.holds(each, sign=sign) for each in (value, value_to) if each is not None)
    if item.code == "brew_water" and value_to is not None:
        inside = inside and bands.spread_is_usual(value, value_to)
    return Outcome.PASS if inside else Outcome.FAIL
