"""Sources of the money room, and the figures that belong to no single module.

Tax law changes: rates, limits and wordings are dated data with a source, never code. None of it is advice.
"""

from decimal import Decimal

from workshop.trade.sources import HOUSE_POLICY, Figure, Seen, Source

HMRC_ROUNDING = Source(
    "M-01", "HMRC manual VATREC12030", "below 0.5p is rounded down, 0.5p and over is rounded up", Seen.READ
)
ISO_4217 = Source("M-02", "ISO 4217 currency list", "minor units, read through the iso4217 package", Seen.SECOND_HAND)
UK_MARGIN_SUM = Source(
    "M-03",
    "HMRC Notice 718/1 and the gov.uk guidance that replaced it",
    "section 3.3: (a) purchase, (b) sale, (c) = b - a, (d) = c x 1/6; nothing when c is not above zero",
    Seen.SECOND_HAND,
)
UK_MARGIN_COSTS = Source(
    "M-04", "HMRC manual VATMARG02300", "repairs and parts may not be added to the purchase price", Seen.READ
)
UK_GLOBAL_SUM = Source(
    "M-05",
    "HMRC manual VATMARG03050; SI 1995/1268",
    "article 13(3) to (6): excess purchases are carried forward, never refunded",
    Seen.READ,
)
UK_GLOBAL_LIMIT = Source(
    "M-06", "HMRC manual VATMARG03200 and gov.uk on global accounting", "items bought at 500 pounds or less", Seen.READ
)
UK_RECORDS = Source(
    "M-07",
    "gov.uk, VAT margin schemes: keeping records",
    "what a sales invoice must state; read through a public copy",
    Seen.SECOND_HAND,
)
DE_25A = Source("M-08", "UStG section 25a", "paragraphs 1, 3, 5 and 6, snapshot of 2022", Seen.READ)
DE_14A = Source("M-09", "UStG section 14a(6)", "wording of the invoice; tax not shown", Seen.SECOND_HAND)
IE_87 = Source(
    "M-10", "VATCA 2010 section 87, Revenue's notes for guidance", "margin, invoice and endorsement", Seen.READ
)
AU_DIV_66 = Source(
    "M-11",
    "A New Tax System (Goods and Services Tax) Act 1999, Division 66",
    "66-10(1) and 66-10(1A): credit on goods bought for over, and for up to, 300 dollars",
    Seen.READ,
)
AU_INVOICE = Source("M-12", "Tax invoice rules, pages that quote the ATO", "under 1,000 dollars", Seen.SECOND_HAND)
NZ_3A = Source("M-13", "NZ Goods and Services Tax Act 1985", "section 3A: 3/23 of the price paid", Seen.READ)
US_RESELLER = Source(
    "M-14", "A tax publisher's guide for resellers", "sales tax on the full price, on top of it", Seen.SECOND_HAND
)
STANDARD_RATES = Source("M-15", "Standard VAT and GST rates and their dates", "not checked against a text", Seen.MEMORY)
EU_315 = Source("M-16", "Directive 2006/112/EC, articles 314 to 318", "margin less the VAT inside it", Seen.READ)
PEPPOL_MARGIN = Source(
    "M-17",
    "Peppol BIS Billing 3, sample vat-category-E",
    "category E, reason VATEX-EU-F: 10 x 120 is 1,200.00 with no tax",
    Seen.READ,
)
PRICE_SUM = Source(
    "M-18", "Profit as a sum, solved for the price", "own derivation, checked by substitution", Seen.COMPUTED
)
IAS_2 = Source("M-19", "IAS 2 Inventories, as paraphrased", "6, 9 to 12, 16, 23, 28 to 33", Seen.SECOND_HAND)
JOB_COSTING = Source(
    "M-20",
    "Garrison, Brewer and Noreen, Introduction to Managerial Accounting",
    "job cost and overhead rate, through a quiz page",
    Seen.SECOND_HAND,
)
ROBUST = Source(
    "M-21",
    "Venables and Ripley, Modern Applied Statistics with S",
    "section 5.5: median, MAD x 1.4826, Huber's proposal 2 with k = 1.5",
    Seen.SECOND_HAND,
)
SIGN_TEST = Source(
    "M-22",
    "Order statistics around the median",
    "the chance that the j-th lowest and j-th highest enclose it is binomial, whatever the shape",
    Seen.COMPUTED,
)
CREDIBILITY = Source("M-23", "Bühlmann's credibility", "Z = n / (n + k)", Seen.MEMORY)
IAS_37 = Source("M-24", "IAS 37, paragraph 39", "expected value of a large number of obligations", Seen.MEMORY)
BETA_SHRINKAGE = Source(
    "M-25",
    "Gelman et al., Bayesian Data Analysis, third edition",
    "chapter 2: a share seen through a Beta prior",
    Seen.COMPUTED,
)
HOLDING = Source(
    "M-26",
    "Holding cost of stock, worked examples",
    "annual rate x stock cost / 365 plus space a day",
    Seen.SECOND_HAND,
)
LARGEST_REMAINDER = Source(
    "M-40",
    "Shares by largest remainder",
    "whole parts first, then one each to the largest fractions lost: the shares sum to the whole",
    Seen.COMPUTED,
)
UK_PURCHASE_RECORD = Source(
    "M-41",
    "gov.uk, VAT margin schemes: keeping records, purchase side",
    "date, seller and buyer with address, description, total with nothing added; VAT not shown (VATMARG02150)",
    Seen.READ,
)
AU_PURCHASE_RECORD = Source(
    "M-42",
    "A New Tax System (Goods and Services Tax) Act 1999, section 66-17",
    "own record of second-hand goods: supplier with address, goods, date, consideration",
    Seen.READ,
)
NZ_PURCHASE_RECORD = Source(
    "M-43",
    "NZ Goods and Services Tax Act 1985, section 19H",
    "over 200 dollars: supplier with address, date, description, quantity, consideration",
    Seen.READ,
)
TAX_A_RATE = Source(
    "M-44",
    "EN 16931 and Peppol BIS Billing 3, calculations",
    "VAT is summed and rounded for each rate, not for each line; sums of rounded amounts are not rounded again",
    Seen.READ,
)
INCIDENTAL = Source(
    "M-45",
    "Directive 2006/112/EC, article 312",
    "the selling price holds what the buyer is charged beside it: packing, transport, insurance",
    Seen.MEMORY,
)
SUNK = Source(
    "M-27",
    "Carry on or strip: money already spent is left out",
    "textbook short-run rule, avoidable costs only; own derivation",
    Seen.COMPUTED,
)

# Below this the fees and the tax swallow nearly every further coin, and the price runs away.
SMALLEST_KEPT_SHARE = Figure(Decimal("0.01"), "of each further unit of price", HOUSE_POLICY)
