"""Where each item of Prove stands, and what that allows."""

from dataclasses import dataclass, field
from enum import StrEnum

from workshop.bench.cards import Card, Item, Unit, asked, kept
from workshop.bench.dialin import DialIn
from workshop.bench.facts.prove.basis import Kept
from workshop.bench.limits import BenchLimit
from workshop.bench.models import BurrChange, CaseOpening, Recipe, SpotCheck
from workshop.core.models import Reading
from workshop.core.stations import Facts

LID_CARD = "before-lid"
SAFE_CARD = "safe-to-power"
AGAIN_CARD = "again"
AGAIN_TITLE = "Again after the case was opened"


class ItemState(StrEnum):
    """Where an item stands, with the glyph that shows it."""

    OPEN = "open"
    PASSED = "full"
    FAILED = "stop"
    WITHDRAWN = "half"
    NOT_POSSIBLE = "na"


@dataclass(frozen=True, slots=True)
class Standing:
    """One item with its newest reading that was not taken back, and the second look beside it.

    `card`: where it is asked; `home`: the card it belongs to, which its readings name.
    """

    item: Item
    card: str
    home: str
    state: ItemState
    reading: Reading | None = None  # the one that decides: a second look that failed comes before the first
    limit: BenchLimit | None = None  # an electrical reading's, as it is held against it today
    looks: tuple[Reading, ...] = ()  # the first reading and the second look beside it, where there is one
    wants_second: bool = False

    @property
    def done(self) -> bool:
        """Say whether nothing more is wanted of it."""
        return self.state in (ItemState.PASSED, ItemState.NOT_POSSIBLE) and not self.wants_second

    @property
    def last(self) -> Reading | None:
        """Return what was recorded last of it."""
        return self.looks[-1] if self.looks else self.reading

    @property
    def newest_pk(self) -> int:
        """Return the id of what was recorded last, 0 for nothing: what a page must have seen."""
        return self.last.pk if self.last else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ProveFacts(Facts):
    """Cards, readings, the case, shots and the recipe of one machine."""

    unit: Unit
    kept: Kept
    every_card: tuple[Card, ...] = ()
    cards: tuple[Card, ...] = ()
    states: dict[str, Standing] = field(default_factory=dict)
    owned: frozenset[str] = frozenset()
    full: bool = False
    touched: bool = False  # boiler, pump or wiring: the full set by itself
    full_because: str = ""
    full_by_price: bool = False  # from an asking price on, the full set is asked here
    opened: CaseOpening | None = None
    burrs: BurrChange | None = None  # when the grinder was last opened
    dial_in: DialIn | None = None
    recipe: Recipe | None = None
    answers: tuple[Reading, ...] = ()  # all that stand, in the order given
    mains_work: bool = False  # work on the mains side: it wants a second pair of eyes
    alone: bool = False  # one person signs in at this workshop
    recalled: bool = False  # the latest look into the registers found it
    spot: SpotCheck | None = None

    @property
    def case_open(self) -> bool:
        """Say whether the case is open now."""
        return self.opened is not None and self.opened.shut_at is None

    @property
    def safe(self) -> bool:
        """Say whether any act with mains may begin."""
        return self.may_power()

    def may_power(self, item: Item | None = None) -> bool:
        """Say whether mains may be on (for one item): not recalled, case shut, safe to power, no stop item failed."""
        return not self.recalled and not self.case_open and not self.before_power() and not self.stopped(item)

    def first_of(self, item: Item) -> list[Standing]:
        """Return what must be done before this item and is not."""
        return [self.states[code] for code in item.after if code in self.states and not self.states[code].done]

    def can(self, item: Item) -> bool:
        """Say whether an item can be done now."""
        return not self.first_of(item) and (not item.waits_for_mains or self.may_power(item))

    def stopped(self, item: Item | None = None) -> list[Standing]:
        """Return the failed stop items that forbid mains (for one item).

        A failed one that mains itself is on for may be read again: only what is read unplugged stands in its way.
        """
        failed = [s for s in self.states.values() if s.item.stop and s.state is ItemState.FAILED]
        again = item is not None and any(s.item.code == item.code for s in failed)
        return [s for s in failed if not (again and s.item.waits_for_mains)]

    def before_power(self) -> list[Standing]:
        """Return what is still missing before the first act that needs mains, card by card."""
        return [each for each in self.unplugged() if not each.done]

    def unplugged(self) -> list[Standing]:
        """Return the stop items that come before any mains: under the lid, on the plate, safe to power."""
        items = [i for card in self.every_card if card.code in (LID_CARD, SAFE_CARD) for i in card.items]
        return [self.states[i.code] for i in items if i.stop and not i.needs_mains]

    def card(self, code: str, item: str = "") -> Card | None:
        """Return a card by its code, or the one that asks the item now; also one that lies outside the set."""
        wanted = self.states[item].card if item in self.states else code
        return next((card for card in (*self.cards, *self._outside()) if card.code == wanted), None)

    def _outside(self) -> tuple[Card, ...]:
        """Return each card with all it can ask here, without what is asked on another one now."""
        every = asked(self.every_card, self.owned, full=True)
        return kept(every, lambda item: self.states[item.code].card == self.states[item.code].home)

    def electrical(self) -> list[Standing]:
        """Return every item that is an electrical reading, asked for or not."""
        return [s for s in self.states.values() if s.item.measure is not None]

    def standings(self, card: Card) -> list[Standing]:
        """Return the items of a card with their readings."""
        return [self.states[item.code] for item in card.items]

    def asked(self) -> list[Standing]:
        """Return every item of the set with its reading, card by card."""
        return [standing for card in self.cards for standing in self.standings(card)]

    def recipe_holds(self) -> bool:
        """Say whether the recipe's two shots still stand."""
        return self.recipe is not None and self.dial_in is not None and self.dial_in.holds(self.recipe)
