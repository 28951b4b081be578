"""The workshop, its people, its instruments and the notes on its three invented models."""

from decimal import Decimal as D
from typing import Any

OWNER = {"username": "ana", "first_name": "Ana", "password": "tram shed espresso"}
TECHNICIAN = {"username": "sam", "first_name": "Sam", "role": "TECHNICIAN", "password": "tram shed espresso"}

SHOP: dict[str, Any] = {
    "name": "The Tram Shed Workshop",
    "tagline": "Espresso machines, mended and proved",
    "phone": "01632 960147",
    "address": "Weir Lane, Hollowbeck",
    "country": "GB",
    "profile": "uk_iet_5",
    "currency": "GBP",
    "tax_rule": "UK_MARGIN",
    "hourly_rate_minor": 2400,
    "overhead_minor_per_h": 600,
    "selling_fee_percent": D("3.0"),
    "payment_fee_percent": D("1.5"),
    "fixed_fee_minor": 20,
    "profit_wanted_minor": 6000,
    "mean_claim_minor": 8500,
    "paper": "A4",
    "warranty_months": 12,
    "warranty_words": (
        "If anything we fitted or tested fails, call us: we mend it or pay you back. "
        "Not scale, drops or an opened case."
    ),
    "hardness_mmol_l": D("2.798"),  # 280 mg/L as calcium carbonate
    "alkalinity_mg_l": D("240"),
    "feed_ph": D("7.4"),
}

INSTRUMENTS: tuple[dict[str, Any], ...] = (
    {"kind": "EARTH", "name": "Bench tester", "serial": "BT-0217"},
    {"kind": "INSULATION", "name": "Bench tester, insulation", "serial": "BT-0217"},
    {"kind": "WATT", "name": "Plug-in watt meter", "serial": "WM-9"},
    {"kind": "GAUGE", "name": "Group gauge", "serial": "G-31"},
    {"kind": "THERMOMETER", "name": "Group thermometer", "serial": "T-12"},
    {"kind": "SCALE", "name": "Small scale", "serial": "S-4"},
    {"kind": "TIMER", "name": "Bench timer", "serial": ""},
    {"kind": "PH", "name": "pH meter", "serial": "PH-2"},
    {"kind": "CALIPER", "name": "Caliper", "serial": "C-1"},
    {
        "kind": "LEAKAGE",
        "name": "Plug-through tester",
        "serial": "PT-5",
        "pass_fail_only": True,
        "set_limit": D("3.5"),
    },
)
# Days until calibration is due, by kind.
CALIBRATED_DAYS = {"EARTH": 200, "INSULATION": 200, "LEAKAGE": 40}

_EVERY: dict[str, Any] = {
    "volts": 230,
    "appliance_class": "class_i",
    "fuse_a": 13,
    "has_steam": True,
    "has_hot_water": True,
    "descale_agent": "CITRIC_MONOHYDRATE",
    "descale_strength_percent": D("2.0"),
}

PLOVER: dict[str, Any] = _EVERY | {
    "maker": "Marrowby",
    "model": "Plover",
    "kind": "SINGLE_BOILER",
    "brew_boiler_l": D("0.300"),
    "boiler_metal": "BRASS",
    "pump": "VIBRATORY",
    "watts": 1050,
    "cord_length_m": D("1.50"),
    "cord_section_mm2": D("1.00"),
    "mass_kg": D("8.2"),
    "basket_mm": D("58"),
    "baskets": "Double | start here\nSingle | 8 g, on the scale\nBlind | cleaning only",
    "dose_g": D("16"),
    "yield_g": D("34"),
    "time_low_s": D("24"),
    "time_high_s": D("31"),
    "warm_up_low_min": 12,
    "warm_up_high_min": 18,
    "ready_sign": "the amber light goes out",
    "blank_shots": 1,
    "back_to_coffee": "Run water until it stops spitting",
    "tamp_cue": "4 mm under the rim",
    "loose_parts": "filter handle\ndouble basket\nsingle basket\nblind basket\ntank\ndrip tray\ntamper",
    "descale_litres": D("1.000"),
    "descale_minutes": 40,
    "usual_minutes": 170,
    "controls_text": (
        "power | rocker marked 0 and 1 | right side\ncoffee | lever down | middle\n"
        "hot water | left tap | left side\nsteam | right tap | right side"
    ),
    "seals_text": (
        "Group seal | wears | 8.5 mm\nSteam tap seal | wears | 5.28 x 1.78\nTank seal | wears | \nBoiler flange | inside | "
    ),
    "safety_text": "Boiler thermostat | 165 °C, one shot\nSafety valve | 1.8 bar",
}

HERON: dict[str, Any] = _EVERY | {
    "maker": "Fennick and Low",
    "model": "Heron",
    "kind": "HEAT_EXCHANGER",
    "brew_boiler_l": D("0.120"),
    "steam_boiler_l": D("1.400"),
    "boiler_metal": "COPPER",
    "pump": "VIBRATORY",
    "has_three_way_valve": True,
    "has_gauge": True,
    "gauge_from": "10 o'clock",
    "gauge_to": "2 o'clock",
    "watts": 1400,
    "pump_watts": 48,
    "cord_length_m": D("1.50"),
    "cord_section_mm2": D("1.00"),
    "mass_kg": D("17.5"),
    "has_grinder": True,
    "grind_scale": "steps",
    "grind_low": D("1"),
    "grind_high": D("24"),
    "grind_step": D("1"),
    "grind_finer": "LOWER",
    "dose_scale": "clock",
    "timed_button": None,
    "basket_mm": D("58"),
    "baskets": ("Double | start here\nSingle | 8 g, on the scale\nTwo-wall | ready-ground\nBlind | cleaning only"),
    "dose_g": D("16.5"),
    "yield_g": D("34"),
    "time_low_s": D("23"),
    "time_high_s": D("30"),
    "warm_up_low_min": 15,
    "warm_up_high_min": 20,
    "ready_sign": "the gauge shows 1 bar",
    "blank_shots": 1,
    "back_to_coffee": "Run water 5 s, then coffee",
    "tamp_cue": "4 mm under the rim",
    "loose_parts": (
        "filter handle\ndouble basket\nsingle basket\ntwo-wall basket\nblind basket\ntank\ndrip tray\nbean hopper\ntamper\nbrush"
    ),
    "descale_litres": D("2.000"),
    "descale_minutes": 45,
    "usual_minutes": 230,
    "controls_text": (
        "power | round switch | low left\ncoffee | lever up | middle\nhot water | left tap | front, left\n"
        "steam | right tap | front, right\ngrind setting | ring numbered 1 to 24 | under the hopper\n"
        "dose | dial like a clock face | front, high left"
    ),
    "seals_text": (
        "Group seal | wears | 8.5 mm\nSteam tap seal | wears | 6.07 x 1.78\nHot water tap seal | wears | 6.07 x 1.78\n"
        "Tank seal | wears | \nBoiler flange | inside | \nHeat exchanger fittings | inside | "
    ),
    "safety_text": "Boiler cut-out | 169 °C, by hand\nSafety valve | 1.8 bar\nVacuum valve | opens when cold",
}

WREN: dict[str, Any] = _EVERY | {
    "maker": "Tarnside",
    "model": "Wren",
    "kind": "THERMOBLOCK",
    "brew_boiler_l": D("0.040"),
    "boiler_metal": "ALUMINIUM",
    "pump": "VIBRATORY",
    "has_filter": True,
    "watts": 1600,
    "cord_length_m": D("1.20"),
    "cord_section_mm2": D("1.00"),
    "mass_kg": D("9.8"),
    "has_grinder": True,
    "grind_scale": "steps",
    "grind_low": D("1"),
    "grind_high": D("16"),
    "grind_step": D("1"),
    "grind_finer": "LOWER",
    "dose_scale": "seconds",
    "timed_button": True,
    "basket_mm": D("54"),
    "baskets": "Double | start here\nTwo-wall | ready-ground\nBlind | cleaning only",
    "dose_g": D("18"),
    "yield_g": D("36"),
    "time_low_s": D("24"),
    "time_high_s": D("31"),
    "warm_up_low_min": 2,
    "warm_up_high_min": 5,
    "ready_sign": "all four lights stay lit",
    "blank_shots": 1,
    "back_to_coffee": "Press hot water for 4 seconds",
    "teach_button": "Hold the cup button until it blinks, press again when the cup is right",
    "tamp_cue": "3 mm under the rim",
    "loose_parts": "filter handle\ndouble basket\ntwo-wall basket\nblind disc\ntank\ndrip tray\nbean hopper\ntamper\nmilk jug",
    "descale_agent": "CITRIC_MONOHYDRATE",
    "descale_strength_percent": D("1.5"),
    "descale_litres": D("1.000"),
    "descale_minutes": 20,
    "usual_minutes": 150,
    "controls_text": (
        "power | button at the left | top, front\ncoffee | two cups button | top\n"
        "hot water | drop button | top, front\nsteam | dial at the right | right side\n"
        "grind setting | dial 1 to 16 | left side\ndose | seconds, plus and minus | top, front"
    ),
    "seals_text": "Group seal | wears | 8.0 mm\nTank seal | wears | \nThermoblock fittings | inside | ",
    "safety_text": "Block cut-out | 184 °C, one shot\nRelief valve | 12 bar",
}

MODELS = (PLOVER, HERON, WREN)
PLACES = ("Shelf A", "Shelf B", "Bench, left", "Bench, right", "Wet bench", "Counter")
