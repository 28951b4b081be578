"""The buyer's receipt on paper: the machine, each extra, what was paid and what is to come."""

from dataclasses import dataclass
from datetime import date

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from handover import pdf
from handover.models import Reservation
from handover.saying import plain, say_date, say_money
from workshop.core.models import Machine, Shop
from workshop.pricing.receipts import Receipt, receipt
from workshop.trade.money.tax import ON_THE_MARGIN

STYLES = ("sheet-page.css", "sheet.css", "report.css", "told-paper.css")


@dataclass(frozen=True, slots=True)
class Line:
    """One line: what, and how much; `heavy` draws a sum."""

    words: str
    amount: str
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class ReceiptPaper:
    """Everything the paper prints; `buyer` is nothing once they were erased."""

    title: str
    machine: Machine
    shop: Shop
    buyer: str
    language: str
    agreed_on: str
    lines: tuple[Line, ...]
    taxes: tuple[str, ...]
    printed: str


def compose(reservation: Reservation, today: date) -> ReceiptPaper:
    """Return the receipt of a reservation's sale as it stands, in the buyer's language."""
    shop, machine = Shop.objects.get(pk=1), reservation.job.machine
    figures = receipt(reservation.sale, shop)
    with translation.override(reservation.language):
        return ReceiptPaper(
            title=_title(figures),
            machine=machine,
            shop=shop,
            buyer="" if reservation.buyer.erased_at else reservation.buyer.name,
            language=reservation.language,
            agreed_on=say_date(reservation.sale.agreed_on),
            lines=tuple(_lines(figures, machine, shop)),
            taxes=tuple(_taxes(figures, shop)),
            printed=say_date(today),
        )


def _title(figures: Receipt) -> str:
    if figures.is_cancelled:
        return _("Cancelled sale")
    return _("Receipt") if figures.payments or figures.to_come_minor <= 0 else _("What is to pay")


def _lines(figures: Receipt, machine: Machine, shop: Shop) -> list[Line]:
    said = _("%(name)s, %(notes)s, second-hand") % {"name": machine.name, "notes": machine.notes}
    lines = [Line(said, say_money(figures.price_minor, shop.currency))]
    lines += [Line(words, say_money(amount, shop.currency)) for words, amount in figures.extras]
    lines.append(Line(_("In all"), say_money(figures.total_minor, shop.currency), heavy=True))
    for on, method, amount in figures.payments:
        words = _("Given back on %(day)s, %(how)s") if amount < 0 else _("Paid on %(day)s, %(how)s")
        lines.append(Line(words % {"day": say_date(on), "how": method}, say_money(abs(amount), shop.currency)))
    if figures.to_come_minor >= 0 and not figures.is_cancelled:
        return [*lines, Line(_("To come"), say_money(figures.to_come_minor, shop.currency), heavy=True)]
    return [*lines, Line(_("To give back to you"), say_money(-figures.to_come_minor, shop.currency), heavy=True)]


def _taxes(figures: Receipt, shop: Shop) -> list[str]:
    """The rule's own words stay as the law wants them; on a margin sale they speak of the machine alone."""
    if figures.is_cancelled:
        return []
    words = [figures.wording.words] if figures.wording.words else []
    if words and figures.rule in ON_THE_MARGIN and figures.taxes:
        words = [_("The machine: %(words)s") % {"words": figures.wording.words}]
    return words + [
        _("%(gross)s of this holds %(rate)s %% tax: %(tax)s.")
        % {
            "gross": say_money(line.gross_minor, shop.currency),
            "rate": plain(line.rate_percent),
            "tax": say_money(line.tax_minor, shop.currency),
        }
        for line in figures.taxes
    ]


def draw(paper: ReceiptPaper) -> bytes:
    """Return the receipt as a tagged PDF. :raises PdfUnavailable: the system libraries are missing."""
    with translation.override(paper.language):
        html = render_to_string("handover/receipt_paper.html", {"paper": paper, "shop": paper.shop})
    return pdf.draw(html, STYLES, "", tagged=True)
