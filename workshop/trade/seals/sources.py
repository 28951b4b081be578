"""The sources of the seals room: ring sizes, gland rules, materials, compression set."""

from decimal import Decimal

from workshop.trade.sources import COMMON_PRACTICE, FROM_MEMORY, HOUSE_POLICY, Figure, Seen, Source

AS568_TABLE = Source(
    "R-01",
    "AS568 ring sizes with tolerances, as in bd_warehouse 0.4.0 (ISO 3601-1 class A)",
    "349 sizes; inside diameter and section agree to 0.01 mm with two other public tables",
    Seen.READ,
)
ISO3601_CLASS_B = Source(
    "R-02",
    "ISO 3601-1:2012, class B and aerospace sections, equation A.1",
    "metric sections; inside diameter tolerance; seen in public code that quotes it",
    Seen.SECOND_HAND,
)
APPLE_RUBBER = Source(
    "R-03", "Apple Rubber Seal Design Guide", "installation page: squeeze, stretch; gland tables", Seen.READ
)
ALL_ORINGS = Source("R-04", "allorings.com, O-ring design page", "radial squeeze 5 to 30 per cent", Seen.READ)
CANYON = Source(
    "R-05",
    "Canyon Components, gland fill, quoted at notes.edchamberlain.com",
    "fill 65 to 85 per cent, typical 75",
    Seen.SECOND_HAND,
)
GLAND_FILLS = Source(
    "R-06", "Worst-case fill of the published gland tables", "up to 96 per cent, computed", Seen.COMPUTED
)
THINNING = Source(
    "R-07",
    "Empirical thinning of a stretched section, public gland calculator",
    "two parabolas joined at 3 per cent; the coefficient 0.0001 restored so that they join",
    Seen.SECOND_HAND,
)
COMPRESSION_SET = Source("R-08", "ISO 815-1 / ASTM D395 method B", "100 (h0 - h1) / (h0 - hs)", Seen.READ)
MATERIAL_TABLE = Source("R-09", "bodeseal.com, technical support, media table", "hot water, steam, dry heat", Seen.READ)

ISO_ID_FACTOR = Figure(Decimal("0.009"), "mm per mm^0.95", ISO3601_CLASS_B)
ISO_ID_POWER = Figure(Decimal("0.95"), "power", ISO3601_CLASS_B)
ISO_ID_CONSTANT = Figure(Decimal("0.11"), "mm", ISO3601_CLASS_B)
METRIC_ID_STEP = Figure(Decimal("0.5"), "mm between metric inside diameters on sale", COMMON_PRACTICE)

# Half-widths of the section by band, up to the first figure: the 2012 text as remembered.
SECTION_TOLERANCES = tuple(
    (Figure(Decimal(up_to), "mm", FROM_MEMORY), Figure(Decimal(half_width), "mm", FROM_MEMORY))
    for up_to, half_width in (
        ("2.25", "0.08"),
        ("3.15", "0.09"),
        ("4.50", "0.10"),
        ("6.30", "0.13"),
        ("8.40", "0.15"),
    )
)

SECTION_WITHIN_PERCENT = Figure(Decimal(6), "per cent of the equal-area section", HOUSE_POLICY)
WITHIN_TOLERANCES = Figure(Decimal(3), "tolerances from the measured value", HOUSE_POLICY)
TIE_MARGIN = Figure(Decimal(1), "squared tolerances between two ranks", HOUSE_POLICY)

STATIC_SQUEEZE_LOW = Figure(Decimal(10), "per cent", APPLE_RUBBER)
STATIC_SQUEEZE_HIGH = Figure(Decimal(40), "per cent", APPLE_RUBBER)
DYNAMIC_SQUEEZE_LOW = Figure(Decimal(5), "per cent", ALL_ORINGS)
DYNAMIC_SQUEEZE_HIGH = Figure(Decimal(30), "per cent", APPLE_RUBBER)
STRETCH_HIGH = Figure(Decimal(5), "per cent, installed", APPLE_RUBBER)
FILL_LOW = Figure(Decimal(65), "per cent, nominal", CANYON)
FILL_WARN = Figure(Decimal(85), "per cent, nominal", CANYON)
FILL_FAIL = Figure(Decimal(95), "per cent, nominal", GLAND_FILLS)
THINNING_JOIN = Figure(Decimal(3), "per cent stretch where the two parabolas meet", THINNING)
THINNING_END = Figure(Decimal(25), "per cent stretch, the last the fit covers", THINNING)
