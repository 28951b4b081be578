"""Prove: what it rests on, and what is missing in sentences."""

from workshop.bench.facts.prove.judged import lapsed
from workshop.bench.facts.prove.read import DEEP_WORDS, facts
from workshop.bench.facts.prove.spot import Repeat, repeats
from workshop.bench.facts.prove.standing import AGAIN_CARD, LID_CARD, SAFE_CARD, ItemState, ProveFacts, Standing
from workshop.bench.facts.prove.unmet import PAGE, SHOTS_PAGE, unmet

__all__ = [
    "AGAIN_CARD",
    "DEEP_WORDS",
    "LID_CARD",
    "PAGE",
    "SAFE_CARD",
    "SHOTS_PAGE",
    "ItemState",
    "ProveFacts",
    "Repeat",
    "Standing",
    "facts",
    "lapsed",
    "repeats",
    "unmet",
]
