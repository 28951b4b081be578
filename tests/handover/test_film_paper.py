"""A film on the sheet: its code reads back from a plain print, its address can be typed, older sheets are read."""

import io
import json
from dataclasses import replace

import pypdf
import pypdfium2
import pytest
import zxingcpp

from handover import pdf
from handover.models.films import LONGEST
from handover.sheet import BuyerAddress, Paper, SheetContent
from tests.handover import sheet_examples as examples

SAID = "A film of this machine shows: filling it and switching it on, tamping and locking in, pouring a coffee."


def film(address="https://films.example/w/heron-first-coffee"):
    return BuyerAddress(address, address.removeprefix("https://"), SAID)


def drawn(content):
    return pdf.render(content, photo=examples.photo)


def codes(sheet):
    pages = pypdfium2.PdfDocument(sheet.pdf)
    rasters = [page.render(scale=150 / 72).to_numpy() for page in pages]
    return [found.text for raster in rasters for found in zxingcpp.read_barcodes(raster)]


@pytest.mark.parametrize("paper", list(Paper))
def test_both_codes_read_back_from_a_plain_print_and_the_address_can_be_typed(paper):
    longest = "https://films.example/" + "w" * (LONGEST - len("https://films.example/"))
    content = replace(examples.heat_exchanger(paper), film=film(longest))

    sheet = drawn(content)

    assert sorted(codes(sheet)) == sorted([content.buyer_address.full, longest])
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(sheet.pdf)).pages)
    assert "How it is done, on film" in text
    assert "pouring a coffee" in " ".join(text.split())
    assert "w" * (LONGEST - len("https://films.example/")) in text.replace("\n", "")
    assert sheet.pages <= 3


def test_a_sheet_issued_before_films_were_kept_is_still_read():
    frozen = json.loads(examples.heat_exchanger().to_json())
    del frozen["film"]

    again = SheetContent.from_json(json.dumps(frozen))

    assert again.film is None
    assert "on film" not in drawn(again).html
