"""Lists of machines as tests upload them."""

import csv
import io
import zipfile
from typing import Any

from workshop.core.undo import subject_pk
from workshop.desk.models import PastFile
from workshop.desk.past import columns, files, services

STOCK_HEADINGS = "Maker,Model,Kind,Serial number,Price paid,Bought on,Seller's name,Place,What the seller said"
STOCK_ROW = "Fennick and Low,Heron,Heat exchanger,0456-22,85.00,2026-04-03,R. Seller,Top shelf,Worked last year"
SALES_HEADINGS = (
    "Maker,Model,Kind,Serial number,Sold on,Price sold,Price paid,Bought on,Minutes worked,Parts cost,"
    "Not mended,Condition score"
)
SALES_ROW = "Fennick and Low,Heron,Heat exchanger,0456-22,2026-05-01,340,85,2026-04-03,210,24.50,no,7.5"


def stock(*rows: str) -> bytes:
    return "\r\n".join([STOCK_HEADINGS, *(rows or (STOCK_ROW,))]).encode()


def sales(*rows: str) -> bytes:
    return "\r\n".join([SALES_HEADINGS, *(rows or (SALES_ROW,))]).encode()


def workbook(rows: list[list[Any]], *, merge: str = "", more_sheets: int = 0) -> bytes:
    from openpyxl import Workbook  # slow to import

    book = Workbook()
    for row in rows:
        book.active.append(row)
    if merge:
        book.active.merge_cells(merge)
    for _ in range(more_sheets):
        book.create_sheet()
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def repacked(content: bytes, name: str, part: bytes) -> bytes:
    """Return a workbook with one part of it put in by hand."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for each in old.infolist():
            new.writestr(each.filename, part if each.filename == name else old.read(each.filename))
        if name not in old.namelist():
            new.writestr(name, part)
    return out.getvalue()


def keep(act: Any, kind: str, content: bytes, **answers: Any) -> Any:
    """Keep a file as the upload does, its columns as guessed."""
    table = files.read(content)
    guessed = columns.guess(kind, table.headings)
    entry = services.keep_file(act, kind=kind, name="list.csv", table=table, columns=guessed)
    file = PastFile.objects.get(pk=subject_pk(entry))
    PastFile.objects.filter(pk=file.pk).update(**answers)
    file.refresh_from_db()
    return file


def separated(rows: list[list[str]], separator: str) -> bytes:
    """Return rows as CSV with any cell quoted that needs it."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator).writerows(rows)
    return out.getvalue().encode()
