"""Sources of the safety room. The standards cost money and were not read in full: limits are second-hand
unless marked otherwise, which is why each one prints its edition and can be tightened by the workshop."""

from workshop.trade.sources import Seen, Source

_QUOTED = Seen.SECOND_HAND

UK_CODE_5 = Source(
    "S-01",
    "IET Code of Practice for In-service Inspection and Testing, 5th edition (2020)",
    "earth, insulation and leakage limits, as quoted by test training pages (pat-testing.info and others)",
    _QUOTED,
)
UK_CODE_4 = Source(
    "S-02",
    "IET Code of Practice for In-service Inspection and Testing, 4th edition (2012)",
    "leakage by class and heating power, as quoted by a training page comparing the editions",
    _QUOTED,
)
UK_OLDER = Source(
    "S-03",
    "IET Code of Practice, 5th edition (2020), earth limit for older equipment",
    "pre-publication summary only",
    Seen.MEMORY,
)
CORD_OHM = Source(
    "S-04",
    "Resistance of flexible copper cord at 20 °C",
    "1.0 mm² and scaling by area quoted in a tester maker's forum; other sections from memory, within 3 %",
    _QUOTED,
)
DE_EARTH = Source(
    "S-05",
    "EN 50678 and EN 50699 (2020), protective-conductor resistance",
    "0.3 ohm to 5 m and the step table, as printed in two tester makers' texts",
    _QUOTED,
)
DE_INSULATION = Source(
    "S-06",
    "DIN VDE 0701-0702, insulation resistance, kept in EN 50678",
    "as quoted in a tester's manual, pages 43 and 46",
    _QUOTED,
)
DE_CURRENT = Source(
    "S-07",
    "EN 50678 (2020), protective-conductor and touch current",
    "as quoted in two testers' manuals, pages 18 and 24",
    _QUOTED,
)
AUNZ_EARTH = Source(
    "S-08",
    "AS/NZS 3760, earth continuity, reached through AS/NZS 5761:2011",
    "a tester's question page",
    _QUOTED,
)
AUNZ_INSULATION = Source(
    "S-09",
    "AS/NZS 3760, insulation at 500 V or 250 V, reached through AS/NZS 5761:2011",
    "two test training pages",
    _QUOTED,
)
AUNZ_ELEMENT = Source(
    "S-10",
    "AS/NZS 3000, heating elements in circuit",
    "quoted wording; same in AS/NZS 3760 from memory",
    _QUOTED,
)
AUNZ_LEAKAGE = Source("S-11", "AS/NZS 3760, leakage current by class", "both limits", Seen.MEMORY)
US_TYPE_TEST = Source(
    "S-12",
    "UL 507, UL 1086 and UL 8750 type-test figures, UL 101 method",
    "quoted clauses; no limit in law for used goods (cpsc.gov, resale question page)",
    _QUOTED,
)
UK_FUSE = Source("S-13", "BS 1362 plug fuse", "3 A to 700 W, 13 A above: a test firm's plug page", _QUOTED)
POWER_INPUT = Source("S-14", "IEC 60335-1 clause 10, power input of heating appliances", "over 200 W", Seen.MEMORY)
MOTOR_INPUT = Source("S-39", "IEC 60335-1 clause 10, power input of motors", "25 to 300 W: 20 % above", Seen.MEMORY)
SURGE_PARTS = Source("S-15", "Surge arresters under a 500 V insulation test", "two test training pages", _QUOTED)
OHMS_LAW = Source("S-16", "Ohm's law", "I = U / R, P = U² / R", Seen.COMPUTED)
DE_PERIODIC = Source(
    "S-17",
    "EN 50699 (2020), periodic test: insulation and currents",
    "taken to be the figures of EN 50678; not checked against a text",
    Seen.MEMORY,
)
CA_APPROVAL = Source(
    "S-18",
    "Ontario Regulation 438/07 and field evaluation",
    "esafe.org: certified or field-evaluated before sale; no limit for used goods was seen",
    _QUOTED,
)
TEST_CURRENTS = Source(
    "S-19",
    "Currents an earth path is tested with",
    "20 to 200 mA, 10 A and 25 A on test training pages; 5 A on a tester maker's page",
    _QUOTED,
)

BURN_CHART = Source("S-20", "Severe burns of adults by hot water", "burn-centre chart, quoted twice", _QUOTED)
BURN_DEGREES = Source(
    "S-21",
    "Exposure time to second and third degree burns, after Moritz and Henriques (1947)",
    "antiscald.com, exposure time to receive a severe burn",
    _QUOTED,
)
SATURATED_STEAM = Source("S-22", "IAPWS-IF97, region 4", "saturation temperature at gauge + 1.013 bar", Seen.COMPUTED)

ACID_LABELS = Source(
    "S-23",
    "ECHA classification of citric, lactic and sulfamic acid",
    "notifications; the own data sheet rules",
    _QUOTED,
)
BLEACH = Source("S-24", "Acid and hypochlorite give chlorine gas", "a state health department's warning", _QUOTED)
LEAD = Source(
    "S-25",
    "BfR opinions 029/2013 and 003/2014, lead from coffee machines after descaling",
    "annual report 2013 page 61, and its question page",
    Seen.READ,
)
STAGNANT = Source("S-26", "HSG274 part 2, little-used outlets", "unused for 7 days or more, weekly flush", _QUOTED)
LIFTING = Source(
    "S-27",
    "HSE L23 lifting filter",
    "25 kg for a man at elbow height; 16 kg for a woman at knuckle height from memory",
    _QUOTED,
)
SAFE_WORK = Source(
    "S-28",
    "Working on mains and pressure: unplug, prove dead, cool, let down",
    "trade custom",
    Seen.COMMON_PRACTICE,
)
RECALLS = Source(
    "S-29",
    "Recalled second-hand goods",
    "cpsc.gov, productsafety.gov.au, GOV.UK product safety pages",
    Seen.READ,
)
UNTESTED_SALE = Source(
    "S-30",
    "esv.vic.gov.au, worksafe.govt.nz and businesscompanion.info on untested or faulty goods",
    "",
    Seen.READ,
)
FOOD_CONTACT = Source("S-31", "EU 1935/2004, materials touching food", "framework regulation", Seen.MEMORY)

LABEL_VIC = Source(
    "S-32",
    "esv.vic.gov.au, second-hand equipment, current page",
    "tested and tagged, or labelled second-hand with a statement that it was not tested for safety",
    Seen.READ,
)
LABEL_NZ = Source(
    "S-33",
    "worksafe.govt.nz, second-hand appliances; Electricity (Safety) Regulations 2010, 80(3)",
    "tested and tagged to AS/NZS 5761, or disabled and marked by AS/NZS 4701",
    Seen.READ,
)
LABEL_QLD = Source(
    "S-34",
    "worksafe.qld.gov.au, selling second-hand electrical goods",
    "testing is optional; the buyer is told when it was not tested, and how to use it safely",
    Seen.READ,
)
LABEL_AU = Source(
    "S-35",
    "AS/NZS 4701, goods with a fault, as summarised for AS/NZS 5761",
    "do not use until mended; through a summary page",
    Seen.SECOND_HAND,
)
LABEL_EU = Source(
    "S-36",
    "Regulation (EU) 2023/988, article 2(3)",
    "goods to be mended before use lie outside when clearly marked as such",
    Seen.MEMORY,
)
LABEL_UK = Source(
    "S-37",
    "businesscompanion.info, second-hand electrical goods",
    "no label is prescribed; what cannot be made safe is destroyed",
    Seen.READ,
)
LABEL_UNSEEN = Source("S-38", "Label of this place", "no rule was read for it: our own plain words", Seen.HOUSE)

HOLD_NSW = Source("S-40", "fairtrading.nsw.gov.au, second-hand dealers", "at least 14 days before sale", Seen.READ)
HOLD_VIC = Source(
    "S-41",
    "consumer.vic.gov.au, second-hand dealers, keeping records",
    "7 days in the form received, some goods exempt",
    Seen.READ,
)
HOLD_NZ = Source(
    "S-42",
    "justice.govt.nz, second-hand dealer duties; Secondhand Dealers and Pawnbrokers Act 2004, section 47",
    "unaltered 14 days on the ministry's page, 10 working days in the Act's text",
    Seen.READ,
)
HOLD_UNSEEN = Source("S-43", "Dealer law of this place", "no hold rule was read for it", Seen.HOUSE)

RECORD_NSW = Source(
    "S-60",
    "fairtrading.nsw.gov.au, second-hand dealers; guideline 6/2016",
    "name, address, ID type and number, declaration of ownership, description, price",
    Seen.READ,
)
RECORD_VIC = Source(
    "S-61",
    "consumer.vic.gov.au, second-hand dealers, keeping records and traders' checklist",
    "name, address, ID details, date and time, description and marks, price, employee",
    Seen.READ,
)
RECORD_QLD = Source(
    "S-62",
    "Second-hand Dealers and Pawnbrokers Act 2003 (Qld), section 37",
    "seller, date, make, model and serial",
    _QUOTED,
)
RECORD_NT = Source(
    "S-63",
    "Northern Territory section 281 and nt.gov.au, second-hand dealer's licence",
    "name, address, date and time, description, price, staff",
    _QUOTED,
)
RECORD_ACT = Source(
    "S-64",
    "Australian Capital Territory, Second-hand Dealers Regulation 2002, regulation 10",
    "date, time, place, description with colour, serial and marks, amount",
    Seen.READ,
)
RECORD_NZ = Source(
    "S-65",
    "justice.govt.nz and police.govt.nz, second-hand dealers; Act of 2004, section 42",
    "name, address, phone, date of birth, signature, how identity was verified, item, price, staff; 3 years",
    Seen.READ,
)
RECORD_FL = Source(
    "S-66",
    "Florida Statutes 538.04, text of 2008",
    "name, address, date, time and place, description; 3 years, 1 of them on the premises",
    Seen.READ,
)
FROST = Source(
    "S-80",
    "Machines are drained before they are sent: water left inside freezes, swells and bursts boiler and pump",
    "trade custom",
    Seen.COMMON_PRACTICE,
)
