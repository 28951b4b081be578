"""Sources of the condition room."""

from workshop.trade.sources import Seen, Source

ISO_4628 = Source(
    "K-01",
    "ISO 4628-1:2016, designation of quantity, size and intensity of defects",
    "the three axes only, from an excerpt; no figure of the score is taken from it",
    Seen.READ,
)
FACES = Source(
    "K-02",
    "Works practice: what is seen at arm's length, handling faces, base and inside",
    "three zones quoted from a works handbook, section 5.5; the weights are ours",
    Seen.SECOND_HAND,
)
SCORE_RULE = Source(
    "K-03",
    "Condition score, rules 1 and 2",
    "cost per millimetre by kind, by how it shows, by face; DEVELOPERS.md, decisions",
    Seen.HOUSE,
)
CALIBRATION = Source(
    "K-04",
    "A handful of light scratches on the front and one side is worth about 8 of 10",
    "what sellers commonly say; no published source",
    Seen.COMMON_PRACTICE,
)
LOOSE_RULE = Source(
    "K-05",
    "Condition score, rule 2: marks on loose parts",
    "a loose part weighs as little as the back; else rule 1; DEVELOPERS.md, decisions",
    Seen.HOUSE,
)
AGREEMENT = Source(
    "K-06",
    "Agreement of two people who score the same machine",
    "within 0.5 points counts as the same; said from 30 closed machines on",
    Seen.HOUSE,
)
ISO_4628_CLASSES = Source(
    "K-07",
    "ISO 4628-1:2016, words of the classes 1 to 5",
    "shown for reading only; not checked against the text",
    Seen.MEMORY,
)
