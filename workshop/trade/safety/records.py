"""What a buyer of second-hand goods must write down of the seller: place by place, only where a rule was read.

Not legal advice. Where the published page was read, every field it names is asked; a field it does not name is
not. How long a record is kept is told only where the page says so.
"""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from workshop.trade.money.rules import TaxRule
from workshop.trade.money.sources import AU_PURCHASE_RECORD, NZ_PURCHASE_RECORD, UK_PURCHASE_RECORD
from workshop.trade.safety import sources
from workshop.trade.sources import HOUSE_POLICY, Figure, Source


class Ask(StrEnum):
    """One thing a record may have to hold; its label is how a sentence names it."""

    NAME = "NAME"
    ADDRESS = "ADDRESS"
    PHONE = "PHONE"
    BORN_ON = "BORN_ON"
    SIGNATURE = "SIGNATURE"
    ID_KIND = "ID_KIND"
    ID_NUMBER = "ID_NUMBER"
    DECLARATION = "DECLARATION"
    DATE = "DATE"
    TIME = "TIME"
    PLACE = "PLACE"
    DESCRIPTION = "DESCRIPTION"
    SERIAL = "SERIAL"
    PRICE = "PRICE"
    STAFF = "STAFF"

    @property
    def label(self) -> str:
        """What a sentence calls it."""
        return _LABELS[self]


_LABELS = {
    Ask.NAME: "name",
    Ask.ADDRESS: "address",
    Ask.PHONE: "phone",
    Ask.BORN_ON: "date of birth",
    Ask.SIGNATURE: "signature",
    Ask.ID_KIND: "kind of identity paper",
    Ask.ID_NUMBER: "number of the identity paper",
    Ask.DECLARATION: "declaration of ownership",
    Ask.DATE: "day",
    Ask.TIME: "time of day",
    Ask.PLACE: "where it was bought",
    Ask.DESCRIPTION: "description and marks",
    Ask.SERIAL: "serial number",
    Ask.PRICE: "price",
    Ask.STAFF: "who dealt with the seller",
}

# Kept by logging a machine and walking round it, whatever the place: the record asks no second time.
KEPT_ANYWAY = frozenset({Ask.NAME, Ask.DATE, Ask.DESCRIPTION, Ask.SERIAL, Ask.PRICE})
# Read by the owner only, and asked only where the place wants it.
PRIVATE = frozenset({Ask.BORN_ON, Ask.ID_NUMBER})


@dataclass(frozen=True, slots=True)
class RecordRule:
    """One rule of one place. `keep_years` is None where no number of years was seen.

    `blocks`: what is missing keeps Intake open. A tax record only warns: the machine itself may go on.
    """

    words: str  # who asks, as a sentence begins
    asks: frozenset[Ask]
    keep_years: Figure | None
    blocks: bool
    source: Source
    note: str = ""

    @property
    def keep_words(self) -> str:
        """How long the record is kept, in words."""
        if self.keep_years is None:
            return "how long to keep it: not seen"
        return f"keep it {self.keep_years.value} {self.keep_years.unit}"


def _years(value: str, source: Source, more: str = "") -> Figure:
    return Figure(Decimal(value), f"years{more}", source)


_GOODS = {Ask.DATE, Ask.DESCRIPTION, Ask.SERIAL}
_SELLER = {Ask.NAME, Ask.ADDRESS}
_ID = {Ask.ID_KIND, Ask.ID_NUMBER}

# The published table says "ID type/number" for New South Wales and Victoria: both are asked there, the number
# whole. New Zealand asks how the identity was checked, which is its kind.
DEALER_RULES: dict[str, RecordRule] = {
    "AU-NSW": RecordRule(
        "New South Wales",
        frozenset(_SELLER | _ID | _GOODS | {Ask.DECLARATION, Ask.PRICE}),
        None,
        True,
        sources.RECORD_NSW,
        "The number of the contract is shown on the goods.",
    ),
    "AU-VIC": RecordRule(
        "Victoria",
        frozenset(_SELLER | _ID | _GOODS | {Ask.TIME, Ask.PRICE, Ask.STAFF}),
        None,
        True,
        sources.RECORD_VIC,
        "Your own number stays on the goods until they are sold. Some goods are exempt.",
    ),
    "AU-QLD": RecordRule("Queensland", frozenset(_SELLER | _GOODS), None, True, sources.RECORD_QLD),
    "AU-NT": RecordRule(
        "Northern Territory",
        frozenset(_SELLER | _GOODS | {Ask.TIME, Ask.PRICE, Ask.STAFF}),
        None,
        True,
        sources.RECORD_NT,
        "The number of the contract goes with the goods.",
    ),
    "AU-ACT": RecordRule(
        "Australian Capital Territory",
        frozenset(_GOODS | {Ask.TIME, Ask.PLACE, Ask.PRICE}),
        None,
        True,
        sources.RECORD_ACT,
    ),
    "NZ": RecordRule(
        "New Zealand",
        frozenset(
            _SELLER | _GOODS | {Ask.PHONE, Ask.BORN_ON, Ask.SIGNATURE, Ask.ID_KIND, Ask.PRICE, Ask.STAFF},
        ),
        _years("3", sources.RECORD_NZ, " or longer"),
        True,
        sources.RECORD_NZ,
        "A label stays on the goods until they are sold; who dealt with the seller signs too.",
    ),
    "US-FL": RecordRule(
        "Florida",
        frozenset(_SELLER | _GOODS | {Ask.TIME, Ask.PLACE}),
        _years("3", sources.RECORD_FL, ", the first of them on the premises"),
        True,
        sources.RECORD_FL,
        "The purchase is reported within 24 hours.",
    ),
}

_TAX_GOODS = {Ask.DATE, Ask.DESCRIPTION, Ask.PRICE}
_UK_TAX = RecordRule(
    "The margin scheme",
    frozenset(_SELLER | _TAX_GOODS),
    _years("6", UK_PURCHASE_RECORD, ", and until it is sold"),
    False,
    UK_PURCHASE_RECORD,
)

TAX_RULES: dict[TaxRule, RecordRule] = {
    TaxRule.UK_MARGIN: _UK_TAX,
    TaxRule.UK_GLOBAL: _UK_TAX,
    TaxRule.AU_GST: RecordRule(
        "The second-hand credit", frozenset(_SELLER | _TAX_GOODS), None, False, AU_PURCHASE_RECORD
    ),
    TaxRule.NZ_GST: RecordRule(
        "The second-hand credit", frozenset(_SELLER | _TAX_GOODS), None, False, NZ_PURCHASE_RECORD
    ),
}

# The registers of recalls are asked again before a sale when the last look is older than this.
RECALL_AGAIN_DAYS = Figure(Decimal(30), "days after which recall registers are asked again", HOUSE_POLICY)


def rules_for(place_code: str, tax_rule: TaxRule) -> tuple[RecordRule, ...]:
    """Return what a place ("AU-VIC", "NZ", "GB") and a tax rule ask of the record; nothing where none was read."""
    dealer = DEALER_RULES.get(place_code.strip().upper())
    tax = TAX_RULES.get(tax_rule)
    return tuple(rule for rule in (dealer, tax) if rule is not None)


def asked(rules: Collection[RecordRule]) -> frozenset[Ask]:
    """Return everything that these rules ask, blocking or not."""
    return frozenset().union(*(rule.asks for rule in rules))


def missing(rule: RecordRule, kept: Collection[Ask]) -> list[Ask]:
    """Return what a rule asks and the record does not hold yet, in the order of `Ask`."""
    return [ask for ask in Ask if ask in rule.asks and ask not in kept and ask not in KEPT_ANYWAY]
