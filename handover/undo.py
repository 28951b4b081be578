"""What handing over can take back, by the verb of the journal entry."""

from handover import endings, services
from handover.models import HandedOver, Reservation
from workshop.core.acts import Act
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


UNDO: dict[str, Undo] = {"hand_over": _hand_over, "reserve": _reserve, "sell_untested": _untested}
