"""What this app can take back, by the verb of the journal entry."""

from workshop.core.acts import Act
from workshop.core.models import JournalEntry
from workshop.core.undo import Undo, subject_pk
from workshop.pricing import services
from workshop.pricing.models import AskingPrice, Decision, Ending, ExtraCost, Payment, SaleLine, Sighting


def _asking(act: Act, entry: JournalEntry) -> JournalEntry:
    row = AskingPrice.objects.select_related("job__machine").get(pk=subject_pk(entry))
    return services.strike_asking_price(act, row)


def _extra(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.strike_extra_cost(act, ExtraCost.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _payment(act: Act, entry: JournalEntry) -> JournalEntry:
    rows = Payment.objects.select_related("sale__job__machine", "purchase__job__machine")
    return services.strike_payment(act, rows.get(pk=subject_pk(entry)))


def _take_up(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.take_up_sighting(act, _sighting(entry))


def _unkeep(act: Act, entry: JournalEntry) -> JournalEntry:
    row = _sighting(entry)
    return services.drop_sighting(act, row, row.version, "Kept by a slip.")


def _sighting(entry: JournalEntry) -> Sighting:
    return Sighting.objects.select_related("notes").get(pk=subject_pk(entry))


def _decision(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.strike_decision(act, Decision.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _ending(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.take_back_ending(act, Ending.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _line(entry: JournalEntry) -> SaleLine:
    return SaleLine.objects.select_related("sale__job__machine").get(pk=subject_pk(entry))


def _unsell(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.strike_line(act, _line(entry))


def _sell_again(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.put_back_line(act, _line(entry))


UNDO: dict[str, Undo] = {
    "add_sale_line": _unsell,
    "strike_sale_line": _sell_again,
    "set_asking_price": _asking,
    "add_extra_cost": _extra,
    "record_payment": _payment,
    "pay_purchase": _payment,
    "owe_seller": _payment,
    "keep_sighting": _unkeep,
    "drop_sighting": _take_up,
    "decide": _decision,
    "strip": _ending,
    "scrap": _ending,
    "give_back": _ending,
    "keep": _ending,
}
