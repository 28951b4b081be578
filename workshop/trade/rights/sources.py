"""Sources of the buyer's rights. A law changes: each is dated data that an adviser should confirm."""

from workshop.trade.sources import Seen, Source

GB_CANCEL = Source(
    "L-01",
    "Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013, part 3",
    "14 days after the day it is in the buyer's hands; 12 months more when nobody told them; a solicitor's guide",
    Seen.SECOND_HAND,
)
GB_GIVE_BACK = Source(
    "L-02",
    "Consumer Contracts Regulations 2013, regulations 34 and 35, schedule 3 part B",
    "money back 14 days after the goods, or the proof of sending, are here; sent back within 14 days; model form",
    Seen.MEMORY,
)
EU_CANCEL = Source(
    "L-03", "Directive 2011/83/EU, article 9", "14 days from the day it is in the buyer's hands", Seen.READ
)
EU_GIVE_BACK = Source(
    "L-04",
    "Directive 2011/83/EU, articles 10, 13 and 14, annex I(B)",
    "consumer pages of member states: 12 months more untold, money back and goods back in 14 days each, model form",
    Seen.SECOND_HAND,
)
EU_PERIODS = Source(
    "L-05",
    "Regulation (EEC, Euratom) 1182/71, article 3(4)",
    "a last day on a Saturday, Sunday or public holiday moves to the next working day; quoted in a decision",
    Seen.SECOND_HAND,
)
NZ_UNINVITED = Source(
    "L-06",
    "NZ Fair Trading Act 1986, section 36M; consumerprotection.govt.nz",
    "5 working days for a sale the buyer did not ask for, at home, at work or by phone",
    Seen.READ,
)
AU_UNSOLICITED = Source(
    "L-07", "Australian Consumer Law on unsolicited sales", "no general right to change one's mind", Seen.MEMORY
)
US_DOORSTEP = Source(
    "L-08", "FTC rule on cooling off", "3 days, sales at the door only; none at a distance", Seen.MEMORY
)
CANCEL_UNSEEN = Source("L-09", "Right to cancel in this place", "no rule was read for it", Seen.HOUSE)
GB_QUALITY = Source(
    "L-20",
    "Consumer Rights Act 2015, sections 9, 19 and 22",
    "30 days to reject, 6 months presumed there from the start; two consumer guides",
    Seen.SECOND_HAND,
)
EU_QUALITY = Source(
    "L-21",
    "Directive (EU) 2019/771, articles 10 and 11; BGB sections 476 and 477",
    "2 years, used goods at least 1 where agreed; 1 year presumed there from the start; two commentaries",
    Seen.SECOND_HAND,
)
AU_QUALITY = Source(
    "L-22",
    "Australian Consumer Law, section 54",
    "acceptable quality, by nature and price; what was drawn to the buyer's attention before is left out",
    Seen.READ,
)
NZ_QUALITY = Source("L-23", "NZ Consumer Guarantees Act 1993", "acceptable quality", Seen.MEMORY)
US_QUALITY = Source(
    "L-24",
    "Magnuson-Moss Warranty Act, a guide of the FTC",
    "who gives a written warranty cannot disclaim the implied one; state law gives it",
    Seen.SECOND_HAND,
)
QUALITY_UNSEEN = Source("L-25", "Rights of a buyer in this place", "no rule was read for it", Seen.HOUSE)
GB_CLAIM = Source("L-26", "Limit for claims of faulty goods", "6 years; two consumer guides", Seen.SECOND_HAND)
GB_CLAIM_SCOTLAND = Source("L-27", "The same limit in Scotland", "5 years; not checked against a text", Seen.MEMORY)
EU_REPAIR = Source(
    "L-28", "Directive (EU) 2024/1799", "12 months more after a repair, from 31 July 2026; not checked", Seen.MEMORY
)
DE_DEFECT = Source(
    "L-30",
    "BGB section 476(1)",
    "a known defect counts only if the buyer was told of it and it was agreed expressly and separately; a law journal",
    Seen.SECOND_HAND,
)
EU_DEFECT = Source(
    "L-31", "Directive (EU) 2019/771, article 7(5)", "as in Germany, for every member state", Seen.MEMORY
)
GB_DEFECT = Source(
    "L-32",
    "Consumer Rights Act 2015, section 9(4)",
    "what was specifically drawn to the buyer's attention before the contract; no separate agreement asked",
    Seen.READ,
)
DEFECT_UNSEEN = Source("L-33", "Known defects in this place", "no rule was read for it", Seen.HOUSE)
