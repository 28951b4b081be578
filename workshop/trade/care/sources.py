"""Sources of the care room. No maker's manual could be read: a manual's own interval always overrides."""

from decimal import Decimal

from workshop.trade.sources import Figure, Seen, Source

CARE_GUIDES = Source(
    "V-01",
    "Care schedules of home-machine guides, repairers and dealers",
    "collected table, most frequent, typical and least frequent advice for each task",
    Seen.SECOND_HAND,
)
TANK_FILTER = Source("V-02", "Filter in the tank, 2 to 3 months", "no manual text found", Seen.COMMON_PRACTICE)
STOOD_WEEK = Source("V-03", "HSG274 part 2, outlets unused for 7 days or more", "weekly flush", Seen.SECOND_HAND)
SCALE = Source("V-04", "Descale interval from the buyer's water", "workshop.trade.water.scale", Seen.COMPUTED)
HOUSE_USE = Source(
    "V-05", "What a home draws: house figures of the care calendar", "DEVELOPERS.md, decisions", Seen.HOUSE
)
MAKER = Source("V-06", "The maker's manual of this model", "entered by the workshop", Seen.READ)
STEAM_HEAT = Source(
    "V-07", "Water in a steam boiler 120 to 130 °C, brew path 93 to 95 °C", "scale per path, low and middle", Seen.HOUSE
)
CONDENSATE = Source(
    "V-08",
    "Steam for 150 g of milk from 4 to 60 °C",
    "13.4 g of condensate by the heat balance; the rest is purging before and after",
    Seen.COMPUTED,
)

# The typical advice of V-01 is taken to be meant for a home of this size.
HOME_DRINKS_PER_DAY = Figure(Decimal("4"), "drinks/day", HOUSE_USE)
# A double of about 40 g, a rinse before and after, and what the valve lets go.
LITRES_PER_DRINK = Figure(Decimal("0.10"), "L", HOUSE_USE)
STEAM_LITRES_PER_MILK_DRINK = Figure(Decimal("0.03"), "L", CONDENSATE)
BREW_TEMP_C = Figure(Decimal("93"), "°C", STEAM_HEAT)
STEAM_TEMP_C = Figure(Decimal("125"), "°C", STEAM_HEAT)
