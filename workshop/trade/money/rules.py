"""The tax rules a workshop may sell under, by the names its forms use."""

from enum import StrEnum


class TaxRule(StrEnum):
    """How the workshop's sales are taxed."""

    NONE = "NONE"
    NOT_REGISTERED = "NOT_REGISTERED"
    UK_MARGIN = "UK_MARGIN"
    DE_MARGIN = "DE_MARGIN"
    IE_MARGIN = "IE_MARGIN"
    UK_GLOBAL = "UK_GLOBAL"
    AU_GST = "AU_GST"
    NZ_GST = "NZ_GST"
    FULL_VAT = "FULL_VAT"
    US_SALES_TAX = "US_SALES_TAX"

    @property
    def label(self) -> str:
        """What a form calls it."""
        return _LABELS[self]


_LABELS = {
    TaxRule.NONE: "Not chosen yet (no tax anywhere)",
    TaxRule.NOT_REGISTERED: "Not registered for VAT or GST",
    TaxRule.UK_MARGIN: "United Kingdom: margin scheme, item by item",
    TaxRule.DE_MARGIN: "Germany: Differenzbesteuerung, item by item",
    TaxRule.IE_MARGIN: "Ireland: margin scheme, item by item",
    TaxRule.UK_GLOBAL: "United Kingdom: global accounting",
    TaxRule.AU_GST: "Australia: GST with second-hand credit",
    TaxRule.NZ_GST: "New Zealand: GST with second-hand credit",
    TaxRule.FULL_VAT: "VAT on the full price",
    TaxRule.US_SALES_TAX: "United States: sales tax on top of the price",
}

UNTAXED = frozenset({TaxRule.NONE, TaxRule.NOT_REGISTERED, TaxRule.US_SALES_TAX})
ITEM_BY_ITEM = frozenset({TaxRule.UK_MARGIN, TaxRule.DE_MARGIN, TaxRule.IE_MARGIN})
ON_THE_MARGIN = ITEM_BY_ITEM | {TaxRule.UK_GLOBAL}
