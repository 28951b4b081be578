"""Files as workshops keep them, and as nobody should: each is read, or refused with one sentence."""

from datetime import date

import pytest

from tests.desk.past import lists
from workshop.desk.past import files, tables
from workshop.desk.past.tables import Unreadable
from workshop.desk.words import Past


def refusal(content):
    with pytest.raises(Unreadable) as refused:
        files.read(content)
    return refused.value.sentence


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_each_encoding_that_names_itself_is_read_without_a_word(encoding):
    table = files.read("Maker;Model\nCafé Süd;Réne\n".encode(encoding))

    assert table.rows == ((2, ("Café Süd", "Réne")),)
    assert table.said == ("Columns are separated by semicolons.",)


def test_utf_16_without_its_mark_is_read_and_said_aloud():
    table = files.read("Maker\tModel\nFennick\tHeron\n".encode("utf-16-le"))

    assert table.rows == ((2, ("Fennick", "Heron")),)
    assert table.said[0] == "The file does not name its encoding. It was read as UTF-16."


def test_windows_1252_is_the_last_resort_and_said_aloud():
    table = files.read("Maker,Price\nCafé,£85\n".encode("cp1252"))

    assert table.rows == ((2, ("Café", "£85")),)
    assert "Windows-1252" in table.said[0]


def test_the_separator_is_the_one_the_headings_use_outside_quotes():
    assert files.read(b'"Maker, Model";Price\n"a, b";85,00\n').rows == ((2, ("a, b", "85,00")),)
    assert files.read(b"sep=;\nMaker;Model, kind, more\na;b\n").rows == ((3, ("a", "b")),)


def test_rows_keep_their_number_in_the_file_and_blank_ones_are_passed_over():
    assert [number for number, _ in files.read(b"A,B\n1,2\n,\n\n3,4\n").rows] == [2, 5]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "The file is empty."),
        (b" \n\r\n", "The file is empty."),
        (b"\xef\xbb\xbf", "The file is empty."),
        (b"Maker,Model\n", "There is no row under the headings."),
        (b"A,B\n1,\x002\n", "NUL bytes"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x81", "not text we can read"),
        (b"A\n" + b"x" * 3000, "holds 3,000 characters"),
        (b"A\n" + b'"' + b"x" * 200_000, "breaks off its rows"),
        (b"," * 70 + b"x\n1\n", "more than 60 columns"),
        (b"A\n" + b"1\n" * 5001, "more than 5,000 rows"),
        (b"x" * (tables.MOST_BYTES + 1), "At most 5 MB"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\x00" * 600, "of the old kind"),
        (b"PK\x03\x04 and no more", "cannot be read"),
    ],
)
def test_what_is_no_list_is_one_sentence(content, words):
    assert words in refusal(content)


def test_doubled_headings_are_said_aloud():
    assert "Two columns are called “Price”." in files.read(b"Price,Price\n1,2\n").said[1]


# Workbooks


def test_a_workbook_is_read_as_a_person_would_type_it():
    book = lists.workbook([["A", "B", "C", "D"], [85, 85.5, date(2026, 4, 3), True], ["x", None, "=A2*2", 1e3]])

    assert files.read(book).rows == (
        (2, ("85", "85.5", "2026-04-03", "yes")),
        (3, ("x", "", "=A2*2", "1000")),
    )


def test_the_first_sheet_is_read_and_the_others_are_spoken_of():
    table = files.read(lists.workbook([["A"], ["1"]], more_sheets=2))

    assert table.said == ("The workbook has 3 sheets. The first, “Sheet”, was read.",)


def test_merged_cells_are_said_aloud():
    table = files.read(lists.workbook([["A", "B"], ["1", "2"], ["3", "4"]], merge="A2:B2"))

    assert "1 ranges of cells are merged, A2:B2 for one." in table.said[0]


def test_an_empty_sheet_and_a_file_without_a_sheet_are_sentences():
    assert "The file is empty." in refusal(lists.workbook([]))
    broken = lists.repacked(lists.workbook([["A"]]), "xl/workbook.xml", b"<workbook/>")
    assert "no sheet that is shown" in refusal(broken)


def sheet(body, before=b""):
    head = before + b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
    return lists.repacked(
        lists.workbook([["A"]]), "xl/worksheets/sheet1.xml", head + body + b"</sheetData></worksheet>"
    )


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b'<row r="1"><c r="A1"><v>1</v></c></row><row r="1000000"><c r="A1000000"><v>1</v></c></row>', "goes on past"),
        (b'<row r="1"><c r="XFD1"><v>1</v></c></row>', "empty"),
        (b'<row r="1"><c r="A1" t="s"><v>999</v></c></row>', "cannot be read"),
        (b'<row r="1"><c r="A1"><v>no number</v></c></row>', "cannot be read"),
        (b'<row r="nonsense"><c r="A1"><v>1</v></c></row>', "cannot be read"),
        (b'<row r="1"><c r="A1"><v>1</v>', "cannot be read"),
    ],
)
def test_a_hostile_sheet_is_one_sentence(body, words):
    assert words in refusal(sheet(body))


def test_a_bomb_is_weighed_before_it_is_unpacked():
    bomb = lists.repacked(lists.workbook([["A"]]), "xl/sharedStrings.xml", b"0" * (33 * 1024 * 1024))

    assert len(bomb) < 100_000
    assert "unpacks to more than 32 MB" in refusal(bomb)


def test_more_text_than_the_house_holds_is_refused():
    cell = b'<c t="inlineStr"><is><t>' + b"x" * 1999 + b"</t></is></c>"
    body = b"".join(b"<row>" + cell * 20 + b"</row>" for _ in range(300))

    assert "more text than a stock list can" in refusal(sheet(body))


def test_entities_in_a_workbook_are_refused():
    import openpyxl  # slow to import

    laughs = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]>'
    row = b'<row><c t="inlineStr"><is><t>&b;</t></is></c></row>'

    assert openpyxl.DEFUSEDXML
    assert "cannot be read" in refusal(sheet(row, before=laughs))


# Templates


@pytest.mark.parametrize("kind", Past.values)
def test_a_template_reads_back_whichever_its_form(kind):
    as_csv, as_xlsx = files.read(files.template_csv(kind)), files.read(files.template_xlsx(kind))

    assert as_csv.headings == as_xlsx.headings == tuple(files.template_rows(kind)[0])
    assert as_csv.rows == as_xlsx.rows == ((2, tuple(files.template_rows(kind)[1])),)


@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"])
def test_a_cell_that_begins_like_a_formula_goes_out_as_text(cell):
    assert files.neutral(cell) == f"'{cell}"
    assert files.neutral("Heron 2") == "Heron 2"
