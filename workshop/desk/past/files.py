"""Files in and out: what was uploaded is told apart by its content; a template shows how a list is laid out."""

import csv
import io

from workshop.desk.past import tables, workbook
from workshop.desk.past.columns import COLUMNS
from workshop.desk.past.tables import MOST_BYTES, Table, Unreadable
from workshop.desk.words import Past

EXAMPLE = "example"  # the reference of the template's row: it never comes in
_ROWS: dict[str, dict[str, str]] = {
    Past.STOCK: {
        "maker": "Fennick and Low",
        "model": "Heron",
        "kind": "Heat exchanger",
        "serial": "0456-22",
        "price_paid": "85.00",
        "bought_on": "2026-04-03",
        "seller": "R. Seller",
        "place": "Top shelf",
        "said": "It worked last year",
        "reference": EXAMPLE,
    },
    Past.SALES: {
        "maker": "Fennick and Low",
        "model": "Heron",
        "kind": "Heat exchanger",
        "serial": "0456-22",
        "sold_on": "2026-05-12",
        "price_sold": "340.00",
        "price_paid": "85.00",
        "bought_on": "2026-04-03",
        "minutes": "210",
        "hours": "",
        "parts_cost": "24.50",
        "not_mended": "no",
        "score": "7.5",
        "reference": EXAMPLE,
    },
}
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


def read(content: bytes) -> Table:
    """Read a file into a table. :raises Unreadable: with one sentence that says what to do."""
    if not content.strip():
        raise Unreadable("The file is empty. Put headings in its first row and one machine in each row below.")
    if len(content) > MOST_BYTES:
        most = MOST_BYTES // 1024 // 1024
        raise Unreadable(
            f"The file is {len(content) / 1024 / 1024:.1f} MB. At most {most} MB come in at once: split it."
        )
    if content.startswith(_OLD_WORKBOOK):
        raise Unreadable("This is a workbook of the old kind, or one with a password. Save it as XLSX without one.")
    if content.startswith(b"PK\x03\x04"):
        return workbook.table(content)
    return tables.text_table(content)


def template_rows(kind: str) -> list[list[str]]:
    """Return the headings of a kind of file and one invented row."""
    return [[each.label for each in COLUMNS[kind]], [_ROWS[kind][each.code] for each in COLUMNS[kind]]]


def template_csv(kind: str) -> bytes:
    """Return the template as CSV (RFC 4180, with the mark by which spreadsheets know UTF-8)."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows([neutral(cell) for cell in row] for row in template_rows(kind))
    return out.getvalue().encode("utf-8-sig")


def template_xlsx(kind: str) -> bytes:
    """Return the template as a workbook."""
    return workbook.written(template_rows(kind))


def neutral(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula: one that begins like one gets an apostrophe before it."""
    return f"'{cell}" if cell.startswith(("=", "+", "-", "@", "\t", "\r")) else cell
