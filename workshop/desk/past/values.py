"""Turn one cell of text into a value, or into a sentence that says what is wrong and how to mend it."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from workshop.core.words import Kind
from workshop.desk.past.columns import Column, Holds, fold
from workshop.trade.money import rounding

EARLIEST_YEAR = 1950  # no home machine with a pump is older; a year before it is a slip. House policy.
MOST_MINOR = 10**12  # as forms of the house
MOST_MINUTES = 100_000
_MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ]\d{1,2}:\d{2}.*)?")
_SLASHED = re.compile(r"(\d{1,2})\s*[/.-]\s*(\d{1,2})\s*[/.-]\s*(\d{4})")
_IN_WORDS = re.compile(r"(\d{1,2})\.?\s+([A-Za-z]{3,9})\.?,?\s+(\d{4})")
_GAPS = re.compile(r"[\s'’\u00a0\u202f]")
_YES, _NO = {"yes", "y", "true", "1", "x"}, {"", "no", "n", "false", "0"}
_KINDS: dict[str, str] = {
    **{fold(kind.label): kind.value for kind in Kind},
    **{fold(kind.value): kind.value for kind in Kind},
    **{"hx": Kind.HEAT_EXCHANGER, "doubleboiler": Kind.DUAL_BOILER, "twoboilers": Kind.DUAL_BOILER},
    **{"thermocoil": Kind.THERMOBLOCK, "grinderonly": Kind.GRINDER, "boiler": Kind.SINGLE_BOILER},
}
KIND_WORDS = ", ".join(kind.label.lower() for kind in Kind)


class Wrong(Exception):
    """This cell cannot be taken in; the message is the sentence, without the row."""


@dataclass(frozen=True, slots=True)
class Reading:
    """How cells are read: the shop's currency, and whether 03/04/2026 is the fourth of March."""

    currency: str
    month_first: bool = False


def value(column: Column, cell: str, how: Reading) -> Any:
    """Return the cell as the column's value; None when it is empty ("" for text, False for yes or no).

    :raises Wrong: with one sentence
    """
    cell = " ".join(cell.split())
    if column.needed and not cell:
        raise Wrong(f"{column.label} is empty. Type it, or take the row out.")
    if cell.startswith("=") and column.holds is not Holds.TEXT:
        shown = cell[:60]
        raise Wrong(f"the {_low(column)} “{shown}” is a formula. Formulas are not worked out here: type its value.")
    return _READERS[column.holds](column, cell, how)


def date_order(cells: Iterable[str], usual_month_first: bool) -> bool | None:
    """Say whether dates like 03/04/2026 have the month first, None when there are none.

    A date with a day above 12 decides; where every one can be read both ways, the place's usual order stands.
    """
    seen = False
    for cell in cells:
        if found := _SLASHED.fullmatch(cell):
            seen = True
            if int(found[2]) > 12 or int(found[1]) > 12:
                return int(found[2]) > 12
    return usual_month_first if seen else None


def _low(column: Column) -> str:
    """Return a column's name inside a sentence: "price paid", "day bought"."""
    if column.holds is Holds.DAY:
        return f"day {column.label.removesuffix(' on').lower()}"
    return column.label[0].lower() + column.label[1:]


def _wrong(column: Column, cell: str, what: str) -> Wrong:
    return Wrong(f"the {_low(column)} “{cell[:60]}” {what}")


def _text(column: Column, cell: str, how: Reading) -> str:
    if column.longest and len(cell) > column.longest:
        raise Wrong(f"{column.label} has {len(cell)} characters. At most {column.longest} fit: shorten it.")
    return cell


def _kind(column: Column, cell: str, how: Reading) -> str:
    if not cell:
        return ""
    if (found := _KINDS.get(fold(cell))) is None:
        raise _wrong(column, cell, f"is not known. Type one of: {KIND_WORDS}.")
    return str(found)


def _money(column: Column, cell: str, how: Reading) -> int | None:
    if not cell:
        return None
    number = _number(column, _without_currency(column, cell, how), rounding.minor_digits(how.currency))
    minor = rounding.to_minor(number, how.currency)
    if minor < 0:
        raise _wrong(column, cell, "is below zero. Type what was paid, without a minus.")
    if minor > MOST_MINOR:
        raise _wrong(column, cell, "is too large. Check the figures.")
    return minor


def _without_currency(column: Column, cell: str, how: Reading) -> str:
    """Take the shop's own sign off; any other is refused, for amounts are never changed from one to another."""
    symbol = rounding.SYMBOL.get(how.currency, how.currency)
    bare = re.sub(rf"^(?:{re.escape(symbol)}|{how.currency})|(?:{re.escape(symbol)}|{how.currency})$", "", cell).strip()
    others = {*rounding.MINOR_DIGITS, *rounding.SYMBOL.values()} - {how.currency, symbol}
    if any(bare.upper().startswith(other) or bare.upper().endswith(other) for other in map(str.upper, others)):
        raise _wrong(column, cell, f"is in another currency. Type what it was in {how.currency}.")
    return bare


def _number(column: Column, cell: str, digits: int) -> Decimal:
    """Read digits with a dot or a comma before the decimals, and grouped thousands."""
    bare = _GAPS.sub("", cell)
    if not re.fullmatch(r"-?\d{1,20}(?:[.,]\d+)*", bare, re.ASCII):
        raise _wrong(column, cell, "is not an amount. Type digits, like 85.00.")
    marks = re.findall(r"[.,]", bare)
    if not marks:
        return Decimal(bare)
    *groups, last = re.split(r"[.,]", bare.lstrip("-"))
    if len(marks) > 1 and len(set(marks)) == 1:  # 1,234,567: thousands throughout
        groups, last = [*groups, last], ""
    elif len(marks) == 1 and len(last) == 3 and digits != 3 and len(groups[0]) <= 3:
        if digits:
            raise _wrong(column, cell, "can be read two ways. Type it with two decimals, or without the comma or dot.")
        groups, last = [*groups, last], ""
    if any(len(group) != 3 for group in groups[1:]) or len(set(marks[:-1])) > 1 or len(last) > digits:
        raise _wrong(column, cell, "is not an amount. Type digits, like 85.00.")
    return Decimal(("-" if bare.startswith("-") else "") + "".join(groups) + (f".{last}" if last else ""))


def _day(column: Column, cell: str, how: Reading) -> date | None:
    if not cell:
        return None
    year, month, day = _parts(column, cell, how)
    try:
        found = date(year, month, day)
    except ValueError:
        raise _wrong(column, cell, "is no day of the calendar. Type it like 2026-04-03.") from None
    if year < EARLIEST_YEAR:
        raise _wrong(column, cell, f"is before {EARLIEST_YEAR}. Check the year.")
    return found


def _parts(column: Column, cell: str, how: Reading) -> tuple[int, int, int]:
    if iso := _ISO.fullmatch(cell):
        return int(iso[1]), int(iso[2]), int(iso[3])
    if words := _IN_WORDS.fullmatch(cell):
        short = words[2][:3].lower()
        if short in _MONTHS:
            return int(words[3]), _MONTHS.index(short) + 1, int(words[1])
    if slashed := _SLASHED.fullmatch(cell):
        first, second, year = int(slashed[1]), int(slashed[2]), int(slashed[3])
        month, day = (first, second) if how.month_first else (second, first)
        if month > 12 >= day:
            order = "month first" if how.month_first else "day first"
            raise _wrong(
                column, cell, f"is no date read {order}. Type it like 2026-04-03, or change the order of dates."
            )
        return year, month, day
    raise _wrong(column, cell, "is not a date. Type it like 2026-04-03.")


def _whole(column: Column, cell: str, how: Reading) -> int | None:
    if not cell:
        return None
    if not re.fullmatch(r"\d{1,20}", cell, re.ASCII):
        raise _wrong(column, cell, "is not a whole number of minutes. Type digits, like 210.")
    if int(cell) > MOST_MINUTES:
        raise _wrong(column, cell, f"is more than {MOST_MINUTES:,} minutes. Check the figure.")
    return int(cell)


def _hours(column: Column, cell: str, how: Reading) -> Decimal | None:
    if not cell:
        return None
    if not re.fullmatch(r"\d{1,5}(?:[.,]\d{1,2})?", cell, re.ASCII):
        raise _wrong(column, cell, "is not a number of hours. Type one like 3.5.")
    hours = Decimal(cell.replace(",", "."))
    if hours * 60 > MOST_MINUTES:
        raise _wrong(column, cell, f"is more than {MOST_MINUTES // 60:,} hours. Check the figure.")
    return hours


def _score(column: Column, cell: str, how: Reading) -> Decimal | None:
    if not cell:
        return None
    if not re.fullmatch(r"\d{1,2}(?:[.,]\d)?", cell, re.ASCII) or (score := Decimal(cell.replace(",", "."))) > 10:
        raise _wrong(column, cell, "is not a score. Type one from 0 to 10, like 7.5.")
    return score


def _yes_no(column: Column, cell: str, how: Reading) -> bool:
    word = cell.casefold()
    if word not in _YES | _NO:
        raise _wrong(column, cell, "is neither yes nor no. Type one of the two.")
    return word in _YES


_READERS: dict[Holds, Callable[[Column, str, Reading], Any]] = {
    Holds.TEXT: _text,
    Holds.KIND: _kind,
    Holds.MONEY: _money,
    Holds.DAY: _day,
    Holds.WHOLE: _whole,
    Holds.HOURS: _hours,
    Holds.SCORE: _score,
    Holds.YES_NO: _yes_no,
}
