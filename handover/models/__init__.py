"""What was agreed and told, what was received, the sheets issued, the buyer's page."""

from handover.models.agreed import NewSince, Received, Reservation, Told
from handover.models.buyers import BuyerAnswer, BuyerLink, BuyerMessage, BuyerMessages
from handover.models.contacts import ContactNote
from handover.models.sheets import HandedOver, Sheet

__all__ = [
    "BuyerAnswer",
    "BuyerLink",
    "BuyerMessage",
    "BuyerMessages",
    "ContactNote",
    "HandedOver",
    "NewSince",
    "Received",
    "Reservation",
    "Sheet",
    "Told",
]
