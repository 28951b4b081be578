"""Sources of the privacy room. Not legal advice: where no rule was read, the room says so and the owner asks."""

from workshop.trade.sources import Seen, Source

UK_RETURN_KEEP = Source(
    "P-01",
    "mygov.scot, how long to keep business records",
    "five years after the 31 January that a tax return is due: the return for 2013-14 to the end of January 2020",
    Seen.READ,
)
DE_BOOKS_KEEP = Source(
    "P-02",
    "BEG IV (Germany), as told by a tax adviser's page",
    "vouchers 8 years, books stay 10",
    Seen.SECOND_HAND,
)
TAX_KEEP_MEMORY = Source(
    "P-03",
    "How long tax records are kept in Ireland, Australia and New Zealand",
    "6, 5 and 7 years; not checked against a text",
    Seen.MEMORY,
)
STORAGE_LIMIT = Source(
    "P-04",
    "ico.org.uk, storage limitation; Regulation (EU) 2016/679, article 5(1)(e)",
    "no longer than needed; a written table; erase or make anonymous",
    Seen.READ,
)
DUTY_TO_KEEP = Source(
    "P-05",
    "Regulation (EU) 2016/679, article 17(3)(b), as quoted by two pages",
    "erasing does not go over a legal duty to keep; an answer within one month from memory",
    Seen.SECOND_HAND,
)
UK_VAT_KEEP = Source(
    "P-06",
    "gov.uk, VAT margin schemes: keeping records; De Voil V3.536",
    "six years, and for stock older than that until it is sold",
    Seen.READ,
)
