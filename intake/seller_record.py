"""What the seller's record of a purchase still wants, by the rules of the workshop's place and its tax rule."""

from dataclasses import dataclass

from intake.models import Purchase, SellerRecord
from intake.words import SellerTax
from workshop.core.models import Shop
from workshop.trade.money.rules import ON_THE_MARGIN, TaxRule
from workshop.trade.money.wording import REGISTERED_SELLER_WORDS
from workshop.trade.safety.records import Ask, RecordRule, missing, rules_for

LAST_DIGITS = 4  # of an identity paper's number, enough to tell two papers apart. House policy.
MOST_LAST_DIGITS = 6  # as many as the column holds
STANDARD_WORDS = "I own this machine, nobody else has a claim on it, and I may sell it."


@dataclass(frozen=True, slots=True)
class Wanted:
    """One rule with what it asks and the record does not hold yet."""

    rule: RecordRule
    missing: tuple[Ask, ...]

    @property
    def sentence(self) -> str:
        """What is missing, in a sentence; empty when nothing is."""
        if not self.missing:
            return ""
        return f"{self.rule.words} asks for more of the seller: {', '.join(ask.label for ask in self.missing)}."


def margin_doubt(purchase: Purchase, record: SellerRecord) -> str:
    """Return why the margin scheme may not fit this purchase, or nothing. Source M-16."""
    registered = record.tax_status == SellerTax.REGISTERED
    return REGISTERED_SELLER_WORDS if registered and TaxRule(purchase.tax_rule) in ON_THE_MARGIN else ""


def kept(purchase: Purchase, record: SellerRecord | None) -> set[Ask]:
    """Return what a purchase and its record hold, beside what logging keeps anyway."""
    seller = purchase.seller
    held: dict[Ask, object] = {Ask.PLACE: purchase.bought_at}
    if seller is not None:
        held |= {Ask.ADDRESS: seller.address, Ask.PHONE: seller.phone}
    if record is not None:
        held |= {
            Ask.BORN_ON: record.born_on,
            Ask.SIGNATURE: record.signed_on,
            Ask.ID_KIND: record.id_kind,
            Ask.ID_NUMBER: record.id_number,
            Ask.DECLARATION: record.declared_words,
            Ask.TIME: record.bought_time is not None,  # midnight is a time too
            Ask.STAFF: record.accepted_by_id,
        }
    return {ask for ask, value in held.items() if value}


def wanted(shop: Shop | None, purchase: Purchase | None, record: SellerRecord | None) -> list[Wanted]:
    """Return each rule that asks for a seller's record here, with what it still wants; none without a purchase.

    Nothing is wanted of a seller who was erased: what the book needs is locked.
    """
    if shop is None or purchase is None or (purchase.seller is not None and purchase.seller.erased_at is not None):
        return []
    rules = rules_for(shop.country, TaxRule(purchase.tax_rule))
    have = kept(purchase, record)
    return [Wanted(rule, tuple(missing(rule, have))) for rule in rules]
