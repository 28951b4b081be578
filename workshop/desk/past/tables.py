"""Read a file by its content into rows of text: CSV in four encodings, or a workbook. Never a crash, a sentence."""

import csv
import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

# House policy: a workshop's whole past fits, and no file can fill the memory or the disk.
MOST_BYTES = 5 * 1024 * 1024
MOST_ROWS = 5_000
MOST_COLUMNS = 60
MOST_IN_A_CELL = 2_000
MOST_TEXT = 10_000_000  # characters in all: one long cell may be used by many rows of a workbook

_UNPRINTED = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
_SEPARATORS = {";": "semicolons", "\t": "tabs", ",": "commas"}


class Unreadable(Exception):
    """This file cannot be read; `sentence` says why and what to do."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class Table:
    """A file as rows of text. `rows` hold their number in the file; `said` what had to be assumed."""

    headings: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    said: tuple[str, ...] = ()


@dataclass(slots=True)
class Gathering:
    """Rows as they are read, held to the limits."""

    headings: tuple[str, ...] = ()
    rows: list[tuple[int, tuple[str, ...]]] = field(default_factory=list)
    characters: int = 0

    def take(self, number: int, cells: Iterable[str]) -> None:
        """Take in one row; blank ones are passed over. :raises Unreadable: past a limit."""
        row = tuple(tidy(cell) for cell in cells)
        while row and not row[-1]:
            row = row[:-1]
        if not row:
            return
        self._hold_to_limits(number, row)
        if not self.headings:
            self.headings = row
        else:
            self.rows.append((number, row))

    def _hold_to_limits(self, number: int, row: tuple[str, ...]) -> None:
        self.characters += sum(map(len, row))
        if len(row) > MOST_COLUMNS:
            raise Unreadable(f"Row {number} has more than {MOST_COLUMNS} columns. Keep those you need and try again.")
        if len(self.rows) >= MOST_ROWS:
            raise Unreadable(f"The file has more than {MOST_ROWS:,} rows. Split it and bring it in piece by piece.")
        for place, cell in enumerate(row, 1):
            if len(cell) > MOST_IN_A_CELL:
                words = f"Row {number}, column {place} holds {len(cell):,} characters. At most {MOST_IN_A_CELL:,} fit."
                raise Unreadable(f"{words} Shorten it and try again.")
        if self.characters > MOST_TEXT:
            raise Unreadable("The file holds more text than a stock list can. Split it and try again.")

    def table(self, said: Iterable[str] = ()) -> Table:
        """Return what was gathered. :raises Unreadable: when there is nothing under the headings."""
        if not self.headings:
            raise Unreadable("The file is empty. Put headings in its first row and one machine in each row below.")
        if not self.rows:
            raise Unreadable("There is no row under the headings. Put one machine in each row below them.")
        return Table(self.headings, tuple(self.rows), (*said, *_doubles(self.headings)))


def tidy(cell: str) -> str:
    """Return a cell without what cannot be printed or stored, its ends trimmed."""
    return _UNPRINTED.sub("", cell).strip()


def _doubles(headings: tuple[str, ...]) -> Iterator[str]:
    """Say which headings stand twice."""
    seen: set[str] = set()
    for heading in headings:
        name = heading.casefold()
        if heading and name in seen:
            yield f"Two columns are called “{heading[:60]}”. The first was taken: see that it is the right one."
        seen.add(name)


def text_table(content: bytes) -> Table:
    """Read separated text. :raises Unreadable: with one sentence."""
    text, said = decoded(content)
    first, _, rest = text.partition("\n")
    chosen = re.fullmatch(r"sep=([;,\t])\r?", first.strip("\ufeff"))
    skipped = 1 if chosen else 0
    text = rest if chosen else text
    separator = chosen.group(1) if chosen else _separator(text)
    gathering = Gathering()
    try:
        for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=separator), 1 + skipped):
            gathering.take(number, cells)
    except csv.Error as error:
        raise Unreadable(f"The file breaks off its rows ({error}). Save it again as CSV and try once more.") from None
    return gathering.table([*said, f"Columns are separated by {_SEPARATORS[separator]}."])


def _separator(text: str) -> str:
    """Return the separator that the first written line uses most, outside quotes; a comma when it uses none."""
    line = next((line for line in text.splitlines() if line.strip()), "")
    bare = re.sub(r'"[^"]*"', "", line)
    return max((",", ";", "\t"), key=bare.count)


def decoded(content: bytes) -> tuple[str, list[str]]:
    """Return the text of a file and what had to be assumed of it. :raises Unreadable: when it is no text."""
    for mark, encoding in ((b"\xef\xbb\xbf", "utf-8-sig"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if content.startswith(mark):
            return _strictly(content, encoding), []
    if b"\x00" in content:
        half = len(content) // 2 or 1
        for start, encoding in ((1, "utf-16-le"), (0, "utf-16-be")):
            if content[start::2].count(0) > half * 0.4:
                return _strictly(content, encoding), ["The file does not name its encoding. It was read as UTF-16."]
    try:
        return _no_nul(content.decode("utf-8")), []
    except UnicodeDecodeError:
        text = _strictly(content, "cp1252")
    return text, ["The file is not UTF-8: it was read as Windows-1252. Look at names with accents, £ and €."]


def _strictly(content: bytes, encoding: str) -> str:
    try:
        return _no_nul(content.decode(encoding))
    except UnicodeDecodeError:
        raise Unreadable("This is not text we can read. Save the list as CSV (UTF-8) or XLSX and try again.") from None


def _no_nul(text: str) -> str:
    if "\x00" in text:
        raise Unreadable("The file holds NUL bytes, so it is no list. Save it as CSV (UTF-8) or XLSX and try again.")
    return text
