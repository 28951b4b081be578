"""What is asked on the phone before a machine comes in, and what is done next by the cause it came back for.

Words of a workshop, common practice; what speaks of law names it and asks to be checked.
"""

from workshop.core.words import ReturnCause
from workshop.trade.rights.cancelling import CancelRule, RefundFrom, Right, rule_for

# Box, label, help. The first is asked first: it decides whether they go on using it.
PHONE = (
    (
        "danger",
        "Water, smoke, a smell of burning, a shock?",
        "If yes: pull the plug out now, do not use it, do not open it.",
    ),
    ("when", "At which step does it happen, and since when?", "Like: when I steam, since Sunday."),
    ("changed", "What changed just before?", "Coffee, grinder, water, a descale, a move to another place."),
    ("tried", "What did they try?", "Sour or fast: one step finer. Bitter or drips: one coarser. Ask for one shot."),
    ("comes", "How does it come in, and with what?", "Tank emptied, handle and baskets with it, the box it left in."),
)

_STEPS: dict[str, tuple[str, ...]] = {
    "": ("Look at it with the buyer's words beside you, then name the cause here.",),
    ReturnCause.FAULT.value: (
        "See what both clocks say above: the law's rights are never shortened by our warranty.",
        "Mend it and prove it again. The readings stand beside those of the sale.",
        "Say which check should have caught it.",
        "Issue the next sheet, then give it back to its buyer.",
    ),
    ReturnCause.CARRIAGE.value: (
        "Photograph the box, the packing and the harm before anything is moved.",
        "Tell the carrier in writing within the days of their terms. Keep the packing.",
        "The buyer got it hurt: mend it or pay it back first, the claim against the carrier is yours.",
        "Keep a note of what the carrier answers and pays.",
    ),
    ReturnCause.RECALL.value: (
        "Leave it unplugged. Look it up in the recall registers and record the look.",
        "Follow the recall's own words: many ask that nobody but the maker mends it.",
        "Tell every other buyer of this model whom you can reach.",
    ),
}


def steps(cause: str, place_code: str) -> tuple[str, ...]:
    """Return what is done next by the cause; a change of mind follows the law of the place."""
    return _changed_mind(rule_for(place_code)) if cause == ReturnCause.CHANGED_MIND else _STEPS[cause]


def _changed_mind(rule: CancelRule) -> tuple[str, ...]:
    return (
        f"{rule.rule} Sold in person, only what you offer counts.",
        "Go through what went with it and the marks of the sale: write down what is new.",
        _refund(rule),
        "For use beyond trying it out you may keep something back: say how much and why.",
        "Keep a note of what was paid back, when and how. Ask whoever does the accounts how the sale is undone.",
        "It is yours again: end this return as kept, then log it again, as bought back at what you paid.",
    )


def _refund(rule: CancelRule) -> str:
    if rule.right is not Right.GIVEN or rule.refund_days is None:
        return "Pay back what you agreed with them."
    count = f"{rule.refund_days.value} {rule.refund_days.unit}"
    begins = "the machine, or proof that it was sent, is here" if rule.refund_from is RefundFrom.GOODS else "their word"
    return f"Cancelled in time: pay back the price and the cheapest delivery within {count} after {begins}."
