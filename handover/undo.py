"""What handing over can take back, by the verb of the journal entry."""

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
from handover.words import DistanceFact
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.core.undo import Undo, subject_pk
from workshop.pricing.models import Ending


def _hand_over(act: Act, entry: JournalEntry) -> JournalEntry:
    return services.take_back_hand_over(
        act, HandedOver.objects.select_related("job__machine").get(pk=subject_pk(entry))
    )


def _reserve(act: Act, entry: JournalEntry) -> JournalEntry:
    row = Reservation.objects.select_related("job__machine", "sale").get(pk=subject_pk(entry))
    return services.cancel_reservation(act, row)


def _untested(act: Act, entry: JournalEntry) -> JournalEntry:
    return endings.take_back_untested(act, Ending.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _link(entry: JournalEntry) -> BuyerLink:
    return BuyerLink.objects.select_related("job__machine").get(pk=subject_pk(entry))


def _withdrawn(act: Act, entry: JournalEntry) -> JournalEntry:
    return buyer_links.put_back(act, _link(entry))


def _renewed(act: Act, entry: JournalEntry) -> JournalEntry:
    return buyer_links.take_back_renewal(act, _link(entry))


def _answered(act: Act, entry: JournalEntry) -> JournalEntry:
    if entry.job is None:
        raise Refused("This entry names no machine.")
    return messages.take_back_answer(act, entry.job, BuyerMessage.objects.get(pk=subject_pk(entry)))


def _film(act: Act, entry: JournalEntry) -> JournalEntry:
    return films.take_back(act, Film.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _packed(act: Act, entry: JournalEntry) -> JournalEntry:
    return packing.unpack(act, Packed.objects.select_related("job__machine").get(pk=subject_pk(entry)))


def _told_link(entry: JournalEntry) -> ToldLink:
    return ToldLink.objects.select_related("job__machine").get(pk=subject_pk(entry))


def _unmake(act: Act, entry: JournalEntry) -> JournalEntry:
    return told_links.withdraw(act, _told_link(entry))


def _reopen(act: Act, entry: JournalEntry) -> JournalEntry:
    return told_links.put_back(act, _told_link(entry))


def _distance(act: Act, entry: JournalEntry) -> JournalEntry:
    note = DistanceNote.objects.select_related("reservation__job__machine").get(pk=subject_pk(entry))
    return distance.take_back(act, note.reservation, DistanceFact(note.fact))


UNDO: dict[str, Undo] = {
    **undo_after.UNDO,
    **undo_wording.UNDO,
    "answer_buyer": _answered,
    "hand_over": _hand_over,
    "keep_film": _film,
    "pack": _packed,
    "make_told_link": _unmake,
    "note_arrived": _distance,
    "note_cancelled": _distance,
    "note_paper": _distance,
    "renew_buyer_link": _renewed,
    "reserve": _reserve,
    "sell_untested": _untested,
    "withdraw_buyer_link": _withdrawn,
    "withdraw_told_link": _reopen,
}
