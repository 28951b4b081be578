"""The label that goods sold untested or faulty wear, by the place of the workshop. The words are our own.

A place whose rule was not read gets plain words and says so: the law of the place decides, and a lawyer, not
this table, knows it. A rule that changes is a new row here, with its source.
"""

from dataclasses import dataclass, replace

from workshop.trade.safety import sources
from workshop.trade.safety.profiles import EU_PLACES
from workshop.trade.sources import Source


@dataclass(frozen=True, slots=True)
class Label:
    """What the label says, in the order printed: `title` big, `lines` under it. `rule` tells the workshop why.

    `must_disable`: the place asks that it cannot be plugged in (the plug is cut off) before it changes hands.
    """

    place: str
    title: str
    lines: tuple[str, ...]
    rule: str
    source: Source
    must_disable: bool = False

    def of_tested(self, *, to_the_end: bool) -> "Label":
        """Return the label of a machine whose electrical tests were made, all of them or some: that is said first."""
        return replace(self, lines=(_TESTED if to_the_end else _TESTED_IN_PART, *self.lines[1:]))


_NOT_TESTED = "It was not tested for electrical safety."
_TESTED_IN_PART = "Its electrical safety was tested in part only: what is missing stands below."
_TESTED = "Its electrical safety was tested; it is sold with what stands below."
_MEND_FIRST = "Do not plug it in before a competent person has mended and tested it."

VIC = Label(
    "AU-VIC",
    "SECOND-HAND",
    (_NOT_TESTED, _MEND_FIRST),
    "Victoria: what is not tested and tagged is labelled second-hand, with the statement that it was not tested.",
    sources.LABEL_VIC,
)
QLD = Label(
    "AU-QLD",
    "SECOND-HAND, NOT TESTED",
    (_NOT_TESTED, _MEND_FIRST),
    "Queensland: testing is a choice, but the buyer must be told that it was not tested, and how to use it safely.",
    sources.LABEL_QLD,
)
AU = Label(
    "AU",
    "DO NOT USE UNTIL MENDED",
    (_NOT_TESTED, _MEND_FIRST),
    "Australia: goods with a fault carry a do-not-use label. Your state may ask for more: check it.",
    sources.LABEL_AU,
)
NZ = Label(
    "NZ",
    "DISABLED: NOT SAFE TO USE",
    (_NOT_TESTED, "Its plug was cut off so that nobody can use it by mistake.", _MEND_FIRST),
    "New Zealand: what is not tested and tagged is disabled and marked. Cut the plug off before it leaves.",
    sources.LABEL_NZ,
    must_disable=True,
)
EU = Label(
    "EU",
    "TO BE MENDED BEFORE USE",
    (_NOT_TESTED, _MEND_FIRST),
    "European Union: it is sold as goods to be mended before use, and must be clearly marked so.",
    sources.LABEL_EU,
)
UK = Label(
    "GB",
    "UNTESTED OR FAULTY",
    (_NOT_TESTED, _MEND_FIRST),
    "United Kingdom: no label is prescribed. What cannot be made safe must not be sold: scrap it.",
    sources.LABEL_UK,
)
ELSEWHERE = Label(
    "",
    "UNTESTED OR FAULTY",
    (_NOT_TESTED, _MEND_FIRST),
    "No rule was read for this place. Ask what label its law wants before you sell.",
    sources.LABEL_UNSEEN,
)

_BY_PLACE = {label.place: label for label in (VIC, QLD, AU, NZ, EU, UK)}


def label_for(place_code: str) -> Label:
    """Return the label of a place: ISO 3166-2 where a state has its own rule ("AU-VIC"), else ISO 3166-1."""
    code = place_code.strip().upper()
    country = code.partition("-")[0]
    if country in EU_PLACES:
        return EU
    return _BY_PLACE.get(code) or _BY_PLACE.get(country) or ELSEWHERE
