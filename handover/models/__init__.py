"""What was agreed and told, what was received, the sheets issued, the buyer's page."""

from handover.models.agreed import NewSince, Received, Reservation, Told
from handover.models.buyers import BuyerAnswer, BuyerLink, BuyerMessage, BuyerMessages
from handover.models.care import CareDate, CareReminder
from handover.models.consents import Consent
from handover.models.contacts import ContactNote
from handover.models.distance import DistanceNote
from handover.models.films import Film
from handover.models.packs import Packed
from handover.models.records import MachineRecord
from handover.models.sheets import HandedOver, Sheet
from handover.models.told_links import ToldLink
from handover.models.wording import HelpAnswer, WordingBlock

__all__ = [
    "BuyerAnswer",
    "BuyerLink",
    "BuyerMessage",
    "BuyerMessages",
    "CareDate",
    "CareReminder",
    "Consent",
    "ContactNote",
    "DistanceNote",
    "Film",
    "HandedOver",
    "HelpAnswer",
    "MachineRecord",
    "NewSince",
    "Packed",
    "Received",
    "Reservation",
    "Sheet",
    "Told",
    "ToldLink",
    "WordingBlock",
]
