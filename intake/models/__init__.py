"""Rows of intake, one file a noun."""

from intake.models.arrival import Finding, LoosePart, Nothing
from intake.models.as_found import AsFound, Bag, SeenRunning
from intake.models.earlier import EarlierRecord
from intake.models.lot import Lot
from intake.models.photos import Photo
from intake.models.purchase import Purchase, RecallCheck
from intake.models.seller import SellerRecord
from intake.models.walk import FaceLook, Mark, Walk

__all__ = [
    "AsFound",
    "Bag",
    "EarlierRecord",
    "FaceLook",
    "Finding",
    "LoosePart",
    "Lot",
    "Mark",
    "Nothing",
    "Photo",
    "Purchase",
    "RecallCheck",
    "SeenRunning",
    "SellerRecord",
    "Walk",
]
