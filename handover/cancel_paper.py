"""The cancellation paper of a sale at a distance: the right, how to use it, a form; facts by place, words ours."""

from dataclasses import dataclass

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from handover import distance, pdf
from handover.models import Reservation
from handover.sheet import say_date
from workshop.core.models import Machine, Shop
from workshop.trade.rights.cancelling import CancelRule, RefundFrom, Right

STYLES = ("sheet-page.css", "sheet.css", "report.css", "told-paper.css")


@dataclass(frozen=True, slots=True)
class CancelPaper:
    """Everything the paper prints: whole sentences in order, and whether the model form follows. It names no buyer."""

    machine: Machine
    shop: Shop
    language: str
    title: str
    lines: tuple[str, ...]
    form: bool


def compose(reservation: Reservation) -> CancelPaper | None:
    """Return the paper of a sale at a distance, in the buyer's language; None where it was agreed in person."""
    known = distance.of(reservation)
    if known is None:
        return None
    shop = Shop.objects.get(pk=1)
    with translation.override(reservation.language):
        title, lines = _words(known, shop)
    machine = reservation.job.machine
    return CancelPaper(machine, shop, reservation.language, title, tuple(lines), known.rule.model_form)


def _words(known: distance.Distance, shop: Shop) -> tuple[str, list[str]]:
    if known.rule.right is Right.GIVEN:
        return _("Your right to cancel"), [*_when(known), *_how(shop), *_then(known.rule), _faults()]
    if known.rule.right is Right.NONE:
        return _("If you change your mind"), [
            _("As far as we know, the law here gives no general right to cancel a sale that you asked for yourself."),
            _("If we came to you, or called you unasked, other rules may hold: ask a consumer advice office."),
            _faults(),
        ]
    return _("If you change your mind"), [
        _("You agreed at a distance. We do not know the rule of this place: ask local advice, like a consumer office."),
        _faults(),
    ]


def _when(known: distance.Distance) -> list[str]:
    if known.rule.days is None:
        return []
    days = {"days": int(known.rule.days.value)}
    lines = [
        _("You agreed to buy this machine at a distance. Within %(days)s days you may cancel without a reason.") % days,
        _("The %(days)s days begin on the day after the machine reaches you, or somebody you named.") % days,
    ]
    if known.rule.weekend_moves:
        lines.append(_("Where the last day is a Saturday, a Sunday or a public holiday, the next working day counts."))
    if known.arrived_on and known.told_on and known.until:
        dates = {"arrived": say_date(known.arrived_on), "until": say_date(known.until)}
        lines.append(_("It reached you on %(arrived)s: you may cancel until %(until)s.") % dates)
    return lines


def _how(shop: Shop) -> list[str]:
    lines = [
        _("To cancel, tell us so clearly: by letter, message or phone. You may use the form below, but need not."),
        _("It is in time if you send your word before the last day ends."),
    ]
    reach = ", ".join(part for part in (shop.name, shop.address, shop.phone) if part)
    return [*lines, _("Tell us here: %(workshop)s.") % {"workshop": reach}]


def _then(rule: CancelRule) -> list[str]:
    lines = []
    if rule.send_back_days:
        back = {"days": int(rule.send_back_days.value)}
        lines += [
            _("Bring or send it back within %(days)s days of telling us. Sending it back is at your cost.") % back,
            _("Empty the tank and let it cool first. Pack it as it came: it is heavy and breaks."),
        ]
    if rule.refund_days:
        money = {"days": int(rule.refund_days.value)}
        goods = _(
            "We give back what you paid, with our usual delivery, within %(days)s days after the machine, or your "
            "proof that you sent it, reaches us."
        )
        told = _(
            "We give back what you paid, with our usual delivery, within %(days)s days after you tell us. We may wait "
            "until the machine, or your proof that you sent it, reaches us."
        )
        lines.append((goods if rule.refund_from is RefundFrom.GOODS else told) % money)
    lines.append(
        _(
            "You may try it as you would in a shop. If you use it more than that, we may take off what it lost in "
            "value by it."
        )
    )
    return lines


def _faults() -> str:
    return _("Your rights where a machine is faulty are others, and stay as they are.")


def draw(paper: CancelPaper) -> bytes:
    """Return the paper as a tagged PDF. :raises PdfUnavailable: the system libraries are missing."""
    with translation.override(paper.language):
        html = render_to_string("handover/cancel_paper.html", {"paper": paper, "shop": paper.shop})
    return pdf.draw(html, STYLES, "", tagged=True)
