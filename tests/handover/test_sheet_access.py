"""The sheet before two judges that are not ours: a PDF/UA checker in a venv of its own, and qpdf.

The checker is named by PDFUA_CHECKER (.ci/run installs it from .ci/requirements-pdfua.txt). Elsewhere its tests are
skipped; on CI a judge that is missing is a failure. The sheet itself makes no claim to conform, so the mark that the
checker asks for is put into a copy, for the check alone.
"""

import io
import json
import os
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdf
import pytest
from pypdf.generic import NameObject, StreamObject

from handover import pdf
from handover.sheet import Paper, PrintSize
from tests.handover import sheet_examples as examples

CARE = pdf.Attached("care.ics", b"BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", "Care dates")
SHEETS = {
    "a4": examples.heat_exchanger(),
    "letter, defects, 12 marks": examples.lever_valve(Paper.LETTER, 12),
    "no marks, no code": examples.thermoblock(),
    "large print": replace(examples.lever_valve(), size=PrintSize.LARGE),
}
# What the checker only warns of: the order WeasyPrint paints in (the tag tree is in order, test_sheet_pdf holds that),
# an address as words for a code, and a table's head printed again on each page.
KNOWN_WARNINGS = {"ORD-001", "FIG-012", "PAG-001"}
UA_MARK = """<rdf:Description xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" rdf:about="">
<pdfuaid:part>1</pdfuaid:part></rdf:Description>
<rdf:Description xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#"
 rdf:about=""><pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix><pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:category>internal</pdfaProperty:category><pdfaProperty:description>Part</pdfaProperty:description>
<pdfaProperty:name>part</pdfaProperty:name><pdfaProperty:valueType>Integer</pdfaProperty:valueType>
</rdf:li></rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag></pdfaExtension:schemas></rdf:Description>"""


@pytest.fixture(scope="module")
def drawn() -> dict[str, bytes]:
    """Each sheet drawn once, with its calendar inside."""
    return {name: pdf.render(sheet, photo=examples.photo, attached=(CARE,)).pdf for name, sheet in SHEETS.items()}


def judge(found: str | None, words: str) -> str:
    """Return the tool, or skip; on CI a missing tool fails."""
    if found is None and os.environ.get("CI") == "true":
        pytest.fail(f"{words} is missing, and CI must have it.")
    if found is None:
        pytest.skip(f"{words} is not here.")
    return found


def marked(data: bytes, path: Path, *, cut: str = "") -> Path:
    """Write a copy that claims PDF/UA-1; `cut` leaves out a part of the catalogue, to see the judge find it."""
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    root = writer.root_object
    told = root["/Metadata"].get_object().get_data().decode()
    before, end, after = told.rpartition("</rdf:RDF>")
    stream = StreamObject()
    stream.set_data(f"{before}{UA_MARK}{end}{after}".encode())
    stream.update({NameObject("/Type"): NameObject("/Metadata"), NameObject("/Subtype"): NameObject("/XML")})
    root[NameObject("/Metadata")] = writer._add_object(stream)
    if cut:
        del root[cut]
    with path.open("wb") as file:
        writer.write(file)
    return path


def findings(checker: str, path: Path) -> list[dict[str, Any]]:
    run = subprocess.run([checker, "--json", "-", str(path)], capture_output=True, text=True, timeout=120, check=False)
    (result,) = json.loads(run.stdout[run.stdout.index("{") :])["results"]
    found: list[dict[str, Any]] = result["findings"]
    return found


def severe(found: list[dict[str, Any]]) -> set[str]:
    return {each["rule"] for each in found if each["severity"] == "error"}


@pytest.mark.parametrize("name", SHEETS)
def test_a_pdf_ua_checker_finds_no_error(drawn: dict[str, bytes], name: str, tmp_path: Path) -> None:
    checker = judge(os.environ.get("PDFUA_CHECKER"), "The PDF/UA checker")
    found = findings(checker, marked(drawn[name], tmp_path / "sheet.pdf"))
    assert severe(found) == set()
    assert {each["rule"] for each in found if each["severity"] == "warning"} <= KNOWN_WARNINGS


def test_the_checker_does_find_a_sheet_without_its_tags(drawn: dict[str, bytes], tmp_path: Path) -> None:
    checker = judge(os.environ.get("PDFUA_CHECKER"), "The PDF/UA checker")
    assert severe(findings(checker, marked(drawn["a4"], tmp_path / "sheet.pdf", cut="/StructTreeRoot")))


@pytest.mark.parametrize("name", SHEETS)
def test_qpdf_finds_the_file_sound(drawn: dict[str, bytes], name: str, tmp_path: Path) -> None:
    qpdf = judge(shutil.which("qpdf"), "qpdf")
    path = tmp_path / "sheet.pdf"
    path.write_bytes(drawn[name])
    run = subprocess.run([qpdf, "--check", str(path)], capture_output=True, text=True, timeout=60, check=False)
    assert (run.returncode, "No syntax or stream encoding errors" in run.stdout) == (0, True), run.stdout + run.stderr


@pytest.mark.parametrize("name", SHEETS)
def test_the_paper_claims_no_conformance(drawn: dict[str, bytes], name: str) -> None:
    words = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(drawn[name])).pages)
    assert ("PDF/" in words, b"pdfuaid" in drawn[name]) == (False, False)
