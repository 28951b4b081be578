"""Rows of money, one file a noun."""

from workshop.pricing.models.asking import CURRENT, AskingPrice, ExtraCost
from workshop.pricing.models.decisions import Decision
from workshop.pricing.models.endings import Ending, PartOut
from workshop.pricing.models.lines import SaleLine
from workshop.pricing.models.sales import CANCELLED_LATER, TOOK_IT, Payment, Sale
from workshop.pricing.models.sightings import Sighting

__all__ = [
    "CANCELLED_LATER",
    "CURRENT",
    "TOOK_IT",
    "AskingPrice",
    "Decision",
    "Ending",
    "ExtraCost",
    "PartOut",
    "Payment",
    "Sale",
    "SaleLine",
    "Sighting",
]
