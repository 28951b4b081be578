"""Writers of what is sold beside a machine, until it is handed over."""

from typing import Any

from django.db.models import F

from intake.services.guard import open_job
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.core.templatetags.measures import money
from workshop.core.words import Area
from workshop.pricing import balances, costs
from workshop.pricing.models import Sale, SaleLine
from workshop.trade.money.extras import ExtraTax


def add_line(
    act: Act,
    sale: Sale,
    *,
    words: str,
    amount_minor: int,
    tax: str = ExtraTax.NONE.value,
    rate_percent: Any = None,
    cost_minor: int = 0,
    is_service: bool = False,
) -> JournalEntry:
    """Sell something beside the machine. :raises Refused: once it was cancelled, or the machine has gone."""
    with acts.once(act):
        _open(sale)
        row = SaleLine.objects.create(
            sale=sale,
            words=words,
            amount_minor=amount_minor,
            tax=tax,
            rate_percent=rate_percent,
            cost_minor=cost_minor,
            is_service=is_service,
            by=act.by,
            at=act.at,
        )
        return _write(act, "add_sale_line", f"Sold with it: {_said(row)}", row, {"amount_minor": amount_minor})


def change_line(act: Act, row: SaleLine, version: int, values: dict[str, Any]) -> JournalEntry:
    """Change an extra. :raises Stale: when it was changed. :raises Refused: once taken off or gone."""
    with acts.once(act):
        _open(row.sale)
        if row.struck_at is not None:
            raise Refused("It was taken off already.")
        before, after = acts.change(row, version, values)
        balances.settle(row.sale)
        sentence = f"Changed what is sold with it: {_said(row)}"
        return acts.write(
            act,
            "change_sale_line",
            sentence,
            row,
            job=row.sale.job,
            area=Area.MONEY,
            before=before,
            after=after,
        )


def strike_line(act: Act, row: SaleLine) -> JournalEntry:
    """Take an extra off. :raises Refused: if done before, cancelled, or the machine has gone."""
    with acts.once(act):
        _open(row.sale)
        standing = SaleLine.objects.filter(pk=row.pk, struck_at__isnull=True)
        if not standing.update(struck_at=act.at, struck_by=act.by, version=F("version") + 1):
            raise Refused("It was taken off already.")
        return _write(act, "strike_sale_line", f"Took off what was sold with it: {_said(row)}", row, {})


def put_back_line(act: Act, row: SaleLine) -> JournalEntry:
    """Sell an extra after all. :raises Refused: when it stands, cancelled, or the machine has gone."""
    with acts.once(act):
        _open(row.sale)
        struck = SaleLine.objects.filter(pk=row.pk, struck_at__isnull=False)
        if not struck.update(struck_at=None, struck_by=None, version=F("version") + 1):
            raise Refused("It is sold with the machine already.")
        return _write(act, "put_back_sale_line", f"Sold with it after all: {_said(row)}", row, {})


def _open(sale: Sale) -> None:
    open_job(sale.job)
    Sale.objects.select_for_update().get(pk=sale.pk)
    if sale.cancelled_at is not None:
        raise Refused("This sale was cancelled: nothing is sold with it any more.")


def _said(row: SaleLine) -> str:
    return f"{row.words}, {money(row.amount_minor, costs.the_shop())}"


def _write(act: Act, verb: str, sentence: str, row: SaleLine, after: dict[str, Any]) -> JournalEntry:
    balances.settle(row.sale)
    return acts.write(act, verb, sentence, row, job=row.sale.job, area=Area.MONEY, after=after)
