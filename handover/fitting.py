"""How a sheet is fitted to its pages: closer lines first, then a page more; type never under 10.5 pt.

Page 1 is one page of the counter, so its least urgent parts step down to 11 and then 10.5 pt where it is long; safety
and settings stay at 12. Page 2 only moves closer: what does not fit there, marks and receipt, gets page 3.
"""

from dataclasses import dataclass, replace

from handover import estimate
from handover.sheet import PrintSize, SheetContent

MARKS_ON_PAGE_TWO = 3
CLOSEST = 4  # of page 1: 1 closer lines, 2 and 3 the everyday part at 11 and 10.5 pt, 4 the steps at 11 too
CLOSE = 1  # of page 2: closer lines
GUESS = 10  # points that a reckoned height may be too high; drawn sheets were within 17


@dataclass(frozen=True, slots=True)
class Fit:
    """One way to lay a sheet out."""

    counter: int = 0  # how close page 1 is set
    drawer: int = 0  # how close page 2 is set
    more: bool = True  # the readings that are printed where there is room
    apart: bool = False  # marks, received-with list and signatures on a page of their own
    flows: bool = False  # page 1 runs over, so what follows it begins where it ends


def first(content: SheetContent) -> Fit:
    """Return the first way to try: the widest that should fit by its words. A guess that is too wide is tried again."""
    if content.size is PrintSize.LARGE:
        return Fit(flows=True)
    marks = content.condition.marks if content.condition else ()
    closest = (level for level in range(CLOSEST) if estimate.counter(content, level) < _room(content))
    counter = next(closest, CLOSEST)
    if sum(1 for mark in marks if mark.photo_sha) > MARKS_ON_PAGE_TWO:
        return Fit(counter, apart=True)
    ways = (Fit(counter), Fit(counter, CLOSE), Fit(counter, CLOSE, more=False))
    fits = (way for way in ways if estimate.drawer(content, way.drawer, more=way.more) < _room(content))
    return next(fits, Fit(counter, CLOSE, more=False))


def _room(content: SheetContent) -> int:
    return estimate.LIVE[content.paper] + GUESS


def next_try(fit: Fit, content: SheetContent, drawer_at: int, pages: int) -> Fit | None:
    """Return the next way to try, None where this one holds; `drawer_at` is the page, from 0, the drawer begins on."""
    if content.size is PrintSize.LARGE:
        return None
    if fit.flows:
        return None if fit.apart else replace(fit, apart=True)
    if drawer_at > 1:
        return replace(fit, counter=fit.counter + 1) if fit.counter < CLOSEST else replace(fit, counter=0, flows=True)
    if fit.apart or drawer_at == pages - 1:
        return None
    return _closer_drawer(fit)


def _closer_drawer(fit: Fit) -> Fit:
    """Page 2 ran over: closer lines, then without the readings that are no must, then marks and receipt apart."""
    if fit.drawer < CLOSE:
        return replace(fit, drawer=CLOSE)
    if fit.more:
        return replace(fit, more=False)
    return replace(fit, drawer=0, more=True, apart=True)
