"""Machines looked at and not bought, or not yet."""

from decimal import Decimal as D
from typing import Any

from demo_fixtures.demo import Demo
from workshop.core.models import ModelNotes, Shop
from workshop.pricing import services as pricing


def sightings(demo: Demo) -> None:
    """Two machines looked at and not bought yet: one of a model sold before, one of a model never seen here."""
    shop = Shop.objects.get(pk=1)
    wren: dict[str, Any] = {
        "notes": ModelNotes.objects.get(model="Wren"),
        "kind": "THERMOBLOCK",
        "asked_minor": 9000,
        "seller_name": "E. Corrie",
        "seller_phone": "01632 960162",
        "said": "Two lights stay dark. It was never descaled.",
        "price_minor": 31000,
        "minutes": 150,
        "parts_minor": 1100,
        "profit_minor": 6000,
        "not_mended_percent": D("10"),
        "salvage_minor": 2500,
    }
    lever: dict[str, Any] = {
        "maker": "Hollin",
        "model": "Dunlin",
        "kind": "LEVER",
        "asked_minor": 16000,
        "said": "The lever slips near the top. The boiler is green at the seams.",
        "price_minor": 28000,
        "minutes": 420,
        "parts_minor": 5500,
        "profit_minor": 6000,
        "not_mended_percent": D("25"),
        "salvage_minor": 4000,
    }
    pricing.keep_sighting(demo.act(2, demo.owner), shop, wren)
    pricing.keep_sighting(demo.act(1, demo.owner), shop, lever)
