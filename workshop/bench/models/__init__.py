"""Rows of the bench, one file a noun."""

from workshop.bench.models.clean import CleanLine, DescaleRun, LeadFlush, ResidualCheck, Rinse
from workshop.bench.models.discipline import Escape, ItemRemoval, Pause, SpotCheck, TempoAnswer
from workshop.bench.models.dosing import BurrChange, ButtonTrial, DoseTrial
from workshop.bench.models.limits import ItemPhoto, LimitRow, ProveBasis
from workshop.bench.models.mend import SealWork
from workshop.bench.models.recipe import Recipe
from workshop.bench.models.shots import Coffee, Shot
from workshop.bench.models.work import CaseOpening, NotNeeded, WorkDone

__all__ = [
    "BurrChange",
    "ButtonTrial",
    "CaseOpening",
    "CleanLine",
    "Coffee",
    "DescaleRun",
    "DoseTrial",
    "Escape",
    "ItemPhoto",
    "ItemRemoval",
    "LeadFlush",
    "LimitRow",
    "NotNeeded",
    "Pause",
    "ProveBasis",
    "Recipe",
    "ResidualCheck",
    "Rinse",
    "SealWork",
    "Shot",
    "SpotCheck",
    "TempoAnswer",
    "WorkDone",
]
