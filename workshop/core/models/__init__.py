"""The rows every room shares, one file a noun."""

from workshop.core.models.drafts import Draft
from workshop.core.models.machines import Job, JobQuerySet, Machine, Signoff, Wait
from workshop.core.models.notes import Control, ModelNotes, SafetyPart, SealPosition
from workshop.core.models.people import LockedIdentity, Person, User
from workshop.core.models.records import JournalEntry, OutsideReport, Reading
from workshop.core.models.search import SearchEntry, SearchText
from workshop.core.models.shop import Counter, Instrument, Place, Shop

__all__ = [
    "Control",
    "Counter",
    "Draft",
    "Instrument",
    "Job",
    "JobQuerySet",
    "JournalEntry",
    "LockedIdentity",
    "Machine",
    "ModelNotes",
    "OutsideReport",
    "Person",
    "Place",
    "Reading",
    "SafetyPart",
    "SealPosition",
    "SearchEntry",
    "SearchText",
    "Shop",
    "Signoff",
    "User",
    "Wait",
]
