"""The sources of the water room: hardness, scale, descaling, rinsing."""

from dataclasses import dataclass
from decimal import Decimal

from workshop.trade.sources import COMMON_PRACTICE, FROM_MEMORY, HOUSE_POLICY, Figure, Seen, Source

MOLAR_MASSES = Source(
    "W-01", "molmass 2026.1.8, IUPAC atomic weights", "formula masses, equations balanced", Seen.COMPUTED
)
DEGREES = Source(
    "W-02",
    "Karrasch-Eckert, conversion of water hardness (2009)",
    "table; definitions behind it: 10 mg CaO, 10 mg CaCO3, one grain per gallon",
    Seen.READ,
)
USGS_CLASSES = Source(
    "W-03",
    "USGS hardness classes, as cited in Progress in Earth and Planetary Science (2017)",
    "doi 10.1186/s40645-017-0142-9, table 3",
    Seen.SECOND_HAND,
)
STRIP_MANUAL = Source(
    "W-04", "A household machine manual, maker withheld", "test strip: fields to degrees dH", Seen.READ
)
SCALE_FORM = Source(
    "W-05",
    "J. Schulman, Insanely Long Water FAQ",
    "section 1.6 (closed form, tables at 95 and 125 C) and 4.2 (2.5 to 5 g, acid strengths)",
    Seen.READ,
)
PHREEQC = Source(
    "W-06",
    "PHREEQC 3.8.6 with phreeqc.dat and minteq.v4.dat (USGS)",
    "calcite and calcium citrate equilibria of this room's sample waters",
    Seen.COMPUTED,
)
LANGELIER = Source(
    "W-07", "P. Roberge, corrosion-doctors.org", "Langelier index: pHs = (9.3 + A + B) - (C + D)", Seen.READ
)
UFC = Source(
    "W-09",
    "US DoD UFC 3-240-13FN, Industrial Water Treatment (2005)",
    "sec. 9-2.2.6 (hydrochloric acid), 9-2.3 to 9-2.6 (sulfamic acid)",
    Seen.READ,
)
BFR_LEAD = Source("W-10", "BfR opinions 029/2013 and 003/2014", "lead from machines after descaling", Seen.SECOND_HAND)
RINSE_TEXTBOOK = Source(
    "W-11", "Mixing tank of a first course in differential equations", "dx/dt = -x Q / V", Seen.READ
)
CARTRIDGE_TABLE = Source(
    "W-08", "A cartridge maker's capacity table, maker withheld", "litres by dKH at three blends", Seen.READ
)
FILTERS = Source("W-12", "Mass balance over a filter with bypass", "derived in filters.py", Seen.COMPUTED)

WHO_SCALE = Source(
    "W-13",
    "WHO, Guidelines for Drinking-water Quality, as quoted by waterwiki.net",
    "above about 200 mg/L scale is likely, on heating above all",
    Seen.SECOND_HAND,
)
CACO3_G_MOL = Figure(Decimal("100.0870"), "g/mol", MOLAR_MASSES)
CAO_G_MOL = Figure(Decimal("56.0774"), "g/mol", MOLAR_MASSES)
CALCIUM_G_MOL = Figure(Decimal("40.078"), "g/mol", MOLAR_MASSES)
MAGNESIUM_G_MOL = Figure(Decimal("24.305"), "g/mol", MOLAR_MASSES)
CACO3_MG_MEQ = Figure(Decimal("50.0435"), "mg/meq", MOLAR_MASSES)
DEGREE_MG_L = Figure(Decimal(10), "mg/L of oxide (dH) or carbonate (fH)", DEGREES)
GRAIN_MG = Figure(Decimal("64.79891"), "mg", DEGREES)
IMPERIAL_GALLON_L = Figure(Decimal("4.54609"), "L", DEGREES)
US_GALLON_L = Figure(Decimal("3.785411784"), "L", DEGREES)

SOFT_TO_MG_L = Figure(Decimal(60), "mg/L as CaCO3", USGS_CLASSES)
MODERATE_TO_MG_L = Figure(Decimal(120), "mg/L as CaCO3", USGS_CLASSES)
HARD_TO_MG_L = Figure(Decimal(180), "mg/L as CaCO3", USGS_CLASSES)
SCALES_FROM_MG_L = Figure(Decimal(200), "mg/L as CaCO3", WHO_SCALE)
STRIP_FIELD_DH = Figure(Decimal(7), "dH for each coloured field", STRIP_MANUAL)

# A water of hardness 150 and alkalinity 34 mg/L, pH 7.5, drops 6.5 and 16.4 mg/L: rounded up.
FLOOR_BREW_MG_L = Figure(Decimal(7), "mg/L at 93 C", PHREEQC)
FLOOR_STEAM_MG_L = Figure(Decimal(17), "mg/L at 125 C", PHREEQC)
PROMPT_G = Figure(Decimal("2.5"), "g of scale: time to ask for descaling", SCALE_FORM)
LIMIT_G = Figure(Decimal(5), "g of scale: the most to let build up", SCALE_FORM)
CAP_DAYS = Figure(Decimal(180), "days between descalings at most", COMMON_PRACTICE)

CITRATE_SHARE = Figure(Decimal(1) / 3, "of the nominal capacity", PHREEQC)
TARTRATE_SHARE = Figure(Decimal(1) / 3, "of the nominal capacity", FROM_MEMORY)
STRONGEST_PERCENT = Figure(Decimal(20), "per cent, plant use", UFC)
FOOD_ACID_LOW_PERCENT = Figure(Decimal("2.25"), "per cent", SCALE_FORM)
FOOD_ACID_HIGH_PERCENT = Figure(Decimal("3.5"), "per cent", SCALE_FORM)
CONTACT_LOW_MIN = Figure(Decimal(20), "minutes", COMMON_PRACTICE)
CONTACT_HIGH_MIN = Figure(Decimal(45), "minutes", COMMON_PRACTICE)
WARM_LOW_C = Figure(Decimal(40), "C", COMMON_PRACTICE)
WARM_HIGH_C = Figure(Decimal(60), "C", COMMON_PRACTICE)
SULFAMIC_DISCARD_PERCENT = Figure(Decimal(3), "per cent, plant use", UFC)
SULFAMIC_MAX_C = Figure(Decimal(60), "C", FROM_MEMORY)
ALUMINIUM_MAX_PERCENT = Figure(Decimal(2), "per cent", COMMON_PRACTICE)
ALUMINIUM_MAX_MIN = Figure(Decimal(20), "minutes", COMMON_PRACTICE)

RINSE_TARGET_MG_L = Figure(Decimal(10), "mg/L of acid left", HOUSE_POLICY)
DRAINED_SHARE = Figure(Decimal("0.9"), "of the wetted volume, drained each time", COMMON_PRACTICE)
CARBONIC_PK1 = Figure(Decimal("6.35"), "at 25 C", PHREEQC)
CARBONIC_PK2 = Figure(Decimal("10.33"), "at 25 C", PHREEQC)
WATER_PK = Figure(Decimal("14.0"), "at 25 C", PHREEQC)
LOW_MINERAL_BELOW_MG_L = Figure(Decimal(20), "mg/L alkalinity as CaCO3", HOUSE_POLICY)
EXHAUSTED_FROM_SHARE = Figure(Decimal("0.65"), "of the alkalinity used up", HOUSE_POLICY)


@dataclass(frozen=True, slots=True)
class CitratePoint:
    """Grams of scale one litre of citric acid takes before calcium citrate saturates, at a strength."""

    percent: Decimal
    scale_g_per_l: Decimal
    source: Source


CITRATE_G_PER_L = tuple(
    CitratePoint(Decimal(percent), Decimal(grams), PHREEQC)
    for percent, grams in (
        ("0.5", "1.9"),
        ("1", "3.1"),
        ("2", "5.5"),
        ("3", "7.6"),
        ("5", "10.7"),
        ("8", "15.6"),
    )
)
