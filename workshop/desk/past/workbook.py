"""The only door to openpyxl: read the first sheet of a workbook as text, write a template. Nothing is evaluated."""

import io
import re
import warnings
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from typing import Any

from workshop.desk.past.tables import MOST_COLUMNS, MOST_ROWS, Gathering, Table, Unreadable

# House policy: what a 5 MB workbook may unpack to, its parts, and rows looked at (blank ones too).
MOST_UNPACKED_BYTES = 32 * 1024 * 1024
MOST_PARTS = 1_000
ROWS_LOOKED_AT = 4 * MOST_ROWS

_MERGED = re.compile(rb"<(?:\w+:)?mergeCell\s[^>]*?ref=\"([A-Z0-9:]{1,24})\"")
_BROKEN = "This workbook cannot be read. Open it, save it again as XLSX or CSV (UTF-8), and try once more."


def table(content: bytes) -> Table:
    """Read the first visible sheet. :raises Unreadable: with one sentence, whatever the file holds."""
    try:
        _weigh(content)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the library warns of drawings and rules it leaves out
            return _read(content)
    except Unreadable:
        raise
    except Exception:  # a broken or hostile workbook may fail anywhere in the library
        raise Unreadable(_BROKEN) from None


def _weigh(content: bytes) -> None:
    """Refuse what would unpack to more than the house allows, before anything is unpacked."""
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        parts = archive.infolist()
        names = {part.filename for part in parts}
    if "xl/workbook.xml" not in names and not any(name.startswith("xl/") for name in names):
        raise Unreadable("This is an archive, but no XLSX workbook. Save the list as XLSX or CSV (UTF-8).")
    if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED_BYTES:
        words = f"This workbook unpacks to more than {MOST_UNPACKED_BYTES // 1024 // 1024} MB."
        raise Unreadable(f"{words} Copy the rows you need into a new one.")


def _read(content: bytes) -> Table:
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(content), read_only=True, data_only=False, keep_links=False)
    try:
        sheets = [sheet for sheet in book.worksheets if sheet.sheet_state == "visible"]
        if not sheets:
            raise Unreadable("The workbook has no sheet that is shown. Show the one with the list and save it again.")
        gathering = Gathering()
        limits = {"max_row": ROWS_LOOKED_AT + 1, "max_col": MOST_COLUMNS + 1, "values_only": True}
        for number, cells in enumerate(sheets[0].iter_rows(**limits), 1):
            if number > ROWS_LOOKED_AT:
                words = (
                    f"The sheet goes on past row {ROWS_LOOKED_AT:,}; at most {MOST_ROWS:,} machines come in at once."
                )
                raise Unreadable(f"{words} Copy the rows you need into a new one.")
            gathering.take(number, (text(cell) for cell in cells))
        return gathering.table([*_said(sheets), *_merged(content, sheets[0])])
    finally:
        book.close()


def text(cell: Any) -> str:
    """Return a cell as a person would type it: dates as ISO, whole numbers plain, a formula as it is written."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, str | int):
        return str(cell)
    return str(getattr(cell, "text", None) or cell)  # a formula over many cells


def _said(sheets: Sequence[Any]) -> Iterator[str]:
    if len(sheets) > 1:
        yield f"The workbook has {len(sheets)} sheets. The first, “{sheets[0].title[:60]}”, was read."


def _merged(content: bytes, sheet: Any) -> Iterator[str]:
    """Say that cells are merged: the reader sees a value in the first cell of each range only."""
    path = str(getattr(sheet, "_worksheet_path", ""))
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        found = _MERGED.findall(archive.read(path)) if path in archive.namelist() else []
    if found:
        words = f"{len(found)} ranges of cells are merged, {found[0].decode()} for one."
        yield f"{words} Only the first cell of each has a value; the others count as empty."


def written(rows: Iterable[Sequence[str]]) -> bytes:
    """Return a workbook of one sheet with these rows, every cell as text."""
    from openpyxl import Workbook

    book = Workbook()
    sheet: Any = book.active
    for row in rows:
        sheet.append(list(row))
    for cells in sheet.iter_rows():
        for cell in cells:
            cell.number_format, cell.data_type = "@", "s"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
