"""What an invoice must say under each rule, and what it must not show, as data with its source."""

from dataclasses import dataclass

from workshop.trade.money.rules import ON_THE_MARGIN, TaxRule
from workshop.trade.money.sources import (
    AU_INVOICE,
    DE_14A,
    IE_87,
    NZ_3A,
    PEPPOL_MARGIN,
    STANDARD_RATES,
    UK_RECORDS,
    US_RESELLER,
)
from workshop.trade.sources import Source


@dataclass(frozen=True, slots=True)
class Wording:
    """The words of one rule. `words` is empty where the law asks for none."""

    rule: TaxRule
    words: str
    shows_tax: bool  # False: no tax amount, no rate and no net price may appear
    source: Source


@dataclass(frozen=True, slots=True)
class ElectronicCategory:
    """How an electronic invoice (EN 16931) marks a margin sale."""

    category: str
    reason_code: str
    source: Source


MARGIN_CATEGORY = ElectronicCategory("E", "VATEX-EU-F", PEPPOL_MARGIN)

_UK_WORDS = "margin scheme - second hand goods"
# The Irish endorsement is known by its sense only; an adviser should confirm the sentence.
_IE_WORDS = "Margin scheme sale: this invoice does not give the right to an input credit of VAT."

WORDINGS: tuple[Wording, ...] = (
    Wording(TaxRule.NONE, "", False, STANDARD_RATES),
    Wording(TaxRule.NOT_REGISTERED, "", False, STANDARD_RATES),
    Wording(TaxRule.UK_MARGIN, _UK_WORDS, False, UK_RECORDS),
    Wording(TaxRule.UK_GLOBAL, _UK_WORDS, False, UK_RECORDS),
    Wording(TaxRule.DE_MARGIN, "Gebrauchtgegenstände/Sonderregelung", False, DE_14A),
    Wording(TaxRule.IE_MARGIN, _IE_WORDS, False, IE_87),
    Wording(TaxRule.AU_GST, "Tax invoice. Total includes GST.", True, AU_INVOICE),
    Wording(TaxRule.NZ_GST, "", True, NZ_3A),
    Wording(TaxRule.FULL_VAT, "", True, STANDARD_RATES),
    Wording(TaxRule.US_SALES_TAX, "", True, US_RESELLER),
)


def invoice_wording(rule: TaxRule) -> Wording:
    """Return the wording of a rule."""
    return next(wording for wording in WORDINGS if wording.rule is rule)


# A purchase invoice of a margin scheme shows no tax (source M-41); the sentence itself is ours.
_PURCHASE_WORDS = "Bought second-hand, for resale under a margin scheme. No tax is shown or may be reclaimed."


# Eligible sources are private persons, exempt suppliers and dealers who sell under a margin scheme themselves
# (source M-16, article 314); the sentence is ours.
REGISTERED_SELLER_WORDS = (
    "The seller is registered for tax: goods bought with tax shown are outside the margin scheme. "
    "Look at their invoice before you sell this one under it."
)


def purchase_wording(rule: TaxRule) -> str:
    """Return what the paper of a purchase says of tax; empty where no rule asks for words. Source M-41."""
    return _PURCHASE_WORDS if rule in ON_THE_MARGIN else ""
