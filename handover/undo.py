"""What handing over can take back, by the verb of the journal entry."""

from collections.abc import Callable
from typing import Any

from django.db.models import QuerySet

from handover import (
    buyer_links,
    distance,
    endings,
    films,
    messages,
    packing,
    services,
    told_links,
    undo_after,
    undo_wording,
)
from handover.models import (
    BuyerLink,
    BuyerMessage,
    DistanceNote,
    Film,
    HandedOver,
    Packed,
    Reservation,
    ToldLink,
)
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.core.undo import Undo, subject_pk
from workshop.pricing.models import Ending


def _of(rows: QuerySet[Any], take_back: Callable[[Act, Any], JournalEntry]) -> Undo:
    """Return the undo that gives the row an entry speaks of to a writer."""

    def undo(act: Act, entry: JournalEntry) -> JournalEntry:
        return take_back(act, rows.get(pk=subject_pk(entry)))

    return undo


def _answered(act: Act, entry: JournalEntry) -> JournalEntry:
    if entry.job is None:
        raise Refused("This entry names no machine.")
    return messages.take_back_answer(act, entry.job, BuyerMessage.objects.get(pk=subject_pk(entry)))


_LINKS = BuyerLink.objects.select_related("job__machine")
_NOTED = _of(DistanceNote.objects.select_related("reservation__job__machine"), distance.undo)
_TOLD_LINKS = ToldLink.objects.select_related("job__machine")

UNDO: dict[str, Undo] = {
    **undo_after.UNDO,
    **undo_wording.UNDO,
    "answer_buyer": _answered,
    "hand_over": _of(HandedOver.objects.select_related("job__machine"), services.take_back_hand_over),
    "keep_film": _of(Film.objects.select_related("job__machine"), films.take_back),
    "make_told_link": _of(_TOLD_LINKS, told_links.withdraw),
    "note_arrived": _NOTED,
    "note_cancelled": _NOTED,
    "note_paper": _NOTED,
    "pack": _of(Packed.objects.select_related("job__machine"), packing.unpack),
    "renew_buyer_link": _of(_LINKS, buyer_links.take_back_renewal),
    "reserve": _of(Reservation.objects.select_related("job__machine", "sale"), services.cancel_reservation),
    "sell_untested": _of(Ending.objects.select_related("job__machine"), endings.take_back_untested),
    "withdraw_buyer_link": _of(_LINKS, buyer_links.put_back),
    "withdraw_told_link": _of(_TOLD_LINKS, told_links.put_back),
}
