"""The buyer's receipt: every line in it, the total, what was paid, and no tax of the machine on a margin sale."""

import io
from datetime import date

import pypdf
import pytest
from django.urls import reverse

from handover import receipt_paper
from handover.models import Told
from handover.words import GoesBy, SoldHow
from tests.handover.distances import reserved
from tests.intake.factories import PurchaseFactory
from workshop.pricing import services

TODAY = date(2026, 5, 12)


def text_of(pdf):
    return " ".join(" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


@pytest.fixture
def row(owner, shop, act):
    """520.00 agreed, a tamper of 24.00 and delivery of 30.00 beside it, 80.00 paid."""
    shop.tax_rule, shop.tax_number = "UK_MARGIN", "GB 123"
    shop.save()
    row = reserved(owner, SoldHow.PERSON, GoesBy.COLLECTED)
    PurchaseFactory(job=row.job, price_minor=11000, tax_rule="UK_MARGIN")
    services.add_line(act(), row.sale, words="Tamper", amount_minor=2400, tax="STANDARD")
    services.add_line(act(), row.sale, words="Delivery", amount_minor=3000, tax="MACHINE")
    Told.objects.create(job=row.job, how="SCREEN", marks=[], left=[], not_tested=[], by=owner, at=row.made_at)
    services.record_payment(act(), row.sale, 8000, "card")
    return row


def test_it_names_machine_extras_payments_and_what_is_to_come(row):
    text = text_of(receipt_paper.draw(receipt_paper.compose(row, TODAY)))

    for words in ("second-hand £520.00", "Tamper £24.00", "Delivery £30.00", "In all £574.00", "card £80.00",
                  "To come £494.00", row.buyer.name):  # fmt: skip
        assert words in text, text


def test_on_a_margin_sale_only_the_extras_show_tax(row):
    paper = receipt_paper.compose(row, TODAY)

    assert paper.taxes == (
        "The machine: margin scheme - second hand goods",
        "£24.00 of this holds 20 % tax: £4.00.",
    )
    assert "Our tax number: GB 123" in text_of(receipt_paper.draw(paper))


def test_without_a_tax_scheme_nothing_is_said_of_tax(row, shop):
    shop.tax_rule = "NONE"
    shop.save()
    paper = receipt_paper.compose(row, TODAY)

    assert paper.taxes == ()
    assert "tax" not in text_of(receipt_paper.draw(paper)).lower()


def test_it_is_printed_from_hand_over(client_in, row):
    page = client_in.get(reverse("handover:handover", args=[row.job.machine.slug])).content.decode()
    where = reverse("handover:receipt_pdf", args=[row.job.machine.slug])

    assert where in page
    assert client_in.get(where)["Content-Type"] == "application/pdf"


def test_before_anything_is_paid_it_is_no_receipt(row, act):
    services.strike_payment(act(), row.sale.payments.get())
    text = text_of(receipt_paper.draw(receipt_paper.compose(row, TODAY)))

    assert "What is to pay" in text
    assert "Receipt" not in text


def test_of_a_cancelled_sale_it_says_so_and_keeps_price_lines_and_money_as_they_were(row, act, owner):
    services.record_payment(act(), row.sale, -8000, "bank")
    sale = row.sale
    sale.cancelled_at, sale.cancelled_by = row.made_at, owner
    sale.save()
    row.buyer.erased_at, row.buyer.erased_by, row.buyer.name = row.made_at, owner, "Erased person 10"
    row.buyer.save()

    text = text_of(receipt_paper.draw(receipt_paper.compose(row, TODAY)))

    for words in ("Cancelled sale", "second-hand £520.00", "Tamper £24.00", "Delivery £30.00", "In all £574.00",
                  "card £80.00", "bank £80.00", "To give back to you £0.00",
                  "Agreed on 20 February 2026."):  # fmt: skip
        assert words in text, text
    for wrong in ("Erased person", "To come", "tax"):
        assert wrong not in text, text
