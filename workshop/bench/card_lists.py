"""Card lists: every item with why it is there, on how many units it was asked, what it caught and what it missed."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from django.db.models import Exists, OuterRef

from workshop.bench import card_items, removals
from workshop.bench.cards import Card, Item, Unit
from workshop.bench.models import Escape
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import Missed, say_count
from workshop.core.models import Job, Reading, Shop
from workshop.core.words import Kind, Outcome, Pump
from workshop.trade.money.odds import FEWEST_FOR_A_RATE
from workshop.trade.safety.discipline import offered_for_removal
from workshop.trade.safety.electrical import PROFILES, Appliance, ApplianceClass, Profile

NEWEST = 500  # ended jobs looked at: a page must not slow down with the years. House policy.
_PARTS = "safety_parts"  # each cut-out of the notes is an item of its own; here they are one line


@dataclass(frozen=True, slots=True)
class Line:
    """One item with its record: units asked, units it caught something on, machines that came back past it."""

    item: Item
    asked: int
    catches: int
    misses: int
    removed: bool

    @property
    def counts(self) -> str:
        """Say what it has shown: "Asked on 42 units, caught 3, missed 1"."""
        caught = f"caught {self.catches}" if self.catches else "caught nothing"
        missed = f"missed {self.misses}" if self.misses else "missed nothing"
        return f"Asked on {say_count(self.asked, 'unit')}, {caught}, {missed}"

    @property
    def rate(self) -> str:
        """Say how often it catches something; empty where it never did."""
        return f"one catch in {round(self.asked / self.catches)} units" if self.catches else ""

    @property
    def offered(self) -> bool:
        """Say whether it showed nothing for so long that it may go."""
        counts = {"asked": self.asked, "catches": self.catches, "misses": self.misses}
        return not self.removed and offered_for_removal(stop=self.item.stop, **counts)


@dataclass(frozen=True, slots=True)
class CardList:
    """One card with the record of its items."""

    title: str
    lines: list[Line]


@dataclass(frozen=True, slots=True)
class Lists:
    """All cards, and how many ended jobs their record rests on."""

    cards: list[CardList]
    jobs: int
    no_check: list[str]  # why machines came back that no check of ours looks at, in words

    @property
    def few(self) -> bool:
        """Say whether the jobs are too few to tell how often."""
        return self.jobs < FEWEST_FOR_A_RATE.value

    def line(self, code: str) -> Line | None:
        """Return the line of an item by its code."""
        return next((line for card in self.cards for line in card.lines if line.item.code == code), None)


def lists() -> Lists:
    """Return the record of every item over the newest ended jobs that were read here. Five queries."""
    jobs = _ended()
    asked, caught = _counted(jobs)
    rows = Escape.objects.filter(STANDS).order_by("pk").values_list("job_id", "missed", "item", "words")
    escaped = {job_id: rest for job_id, *rest in rows}.values()
    missed = Counter(_line_of(item) for _, item, _ in escaped if item)
    gone = removals.removed()
    cards = [
        CardList(
            card.title,
            [
                Line(item, asked[item.code], caught[item.code], missed[item.code], item.code in gone)
                for item in card.items
            ],
        )
        for card in every_card()
    ]
    return Lists(cards, len(jobs), [words for kind, _, words in escaped if kind == Missed.NO_CHECK])


def _ended() -> list[int]:
    """Return the newest ended jobs with a reading; those of an old book have none."""
    read_here = Exists(Reading.objects.filter(job=OuterRef("pk")))
    ended = Job.objects.filter(read_here, closed_at__isnull=False).order_by("-pk")
    return list(ended.values_list("pk", flat=True)[:NEWEST])


def _counted(jobs: list[int]) -> tuple[Counter[str], Counter[str]]:
    """Return the units on which each item was asked, and those on which it failed before it passed."""
    asked: dict[str, set[int]] = defaultdict(set)
    caught: dict[str, set[int]] = defaultdict(set)
    rows = Reading.objects.filter(job_id__in=jobs, struck=False, corrected_by__isnull=True).order_by()
    for code, job_id, outcome in rows.values_list("item", "job_id", "outcome").distinct():
        asked[_line_of(code)].add(job_id)
        if outcome == Outcome.FAIL:
            caught[_line_of(code)].add(job_id)
    return Counter({code: len(ids) for code, ids in asked.items()}), Counter({c: len(ids) for c, ids in caught.items()})


def _line_of(code: str) -> str:
    return _PARTS if code.startswith("part-") else code


def every_card() -> tuple[Card, ...]:
    """Return the cards with every item a machine of a home can have in this workshop's place."""
    shop = Shop.objects.filter(pk=1).first()
    profile = PROFILES.get(shop.profile if shop else "", PROFILES["record_only"])
    usual, gentle = card_items.cards_for(_widest(profile, 500)), card_items.cards_for(_widest(profile, 250))
    return tuple(_joined(card, other) for card, other in zip(usual, gentle, strict=True))


def _joined(card: Card, other: Card) -> Card:
    """Add what is asked only where insulation was tested gently."""
    known = {item.code for item in card.items}
    more = tuple(item for item in other.items if item.code not in known)
    return Card(card.code, card.title, card.way, (*card.items, *more))


def _widest(profile: Profile, test_volts: int) -> Unit:
    return Unit(
        kind=Kind.SINGLE_BOILER,
        pump=Pump.VIBRATORY,
        has_steam=True,
        volts=None,
        watts=None,
        cord_words="",
        place_has_fused_plugs=False,
        profile=profile,
        appliance=Appliance(ApplianceClass.CLASS_I, None, None, None),
        test_volts=test_volts,
        has_three_way_valve=True,
        has_grinder=True,
        has_button=True,
        gauge_words="one mark to another",
        deep=True,
    )
