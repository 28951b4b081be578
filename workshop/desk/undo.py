"""Undo: each floor says which of its acts it can take back; here they are put together."""

from collections.abc import Iterable

from django.db.models import Q

from handover import undo as handover_undo
from intake import undo as intake_undo
from workshop.bench import undo as bench_undo
from workshop.core import undo as core_undo
from workshop.core.models import JournalEntry, User
from workshop.core.words import Area
from workshop.parts import undo as parts_undo
from workshop.pricing import undo as pricing_undo

UNDO: dict[str, core_undo.Undo] = {
    **core_undo.UNDO,
    **intake_undo.UNDO,
    **parts_undo.UNDO,
    **bench_undo.UNDO,
    **pricing_undo.UNDO,
    **handover_undo.UNDO,
}

# What ends an act: an entry of one of these on the same row, later than the act's own, leaves nothing to take back.
ENDS = (
    "cancel_reservation",
    "end_wait",
    "put_back_buyer_link",
    "put_back_sale_line",
    "put_back_told_link",
    "put_shot_back",
    "reopen_case",
    "reopen_finding",
    "shut_case",
    "strike_asking_price",
    "strike_extra_cost",
    "strike_payment",
    "strike_reading",
    "strike_recipe",
    "strike_report",
    "strike_run",
    "strike_sale_line",
    "strike_shot",
    "strike_work",
    "take_answer_off",
    "take_back",
    "take_back_answer",
    "take_back_arrived",
    "take_back_buyer_link",
    "take_back_cancelled",
    "take_back_cause",
    "take_back_contact_note",
    "take_back_film",
    "take_back_hand_over",
    "take_back_paper",
    "take_back_return",
    "take_back_told_care",
    "take_record_back",
    "unmend_mark",
    "unopen_case",
    "unpack",
    "withdraw_consent",
    "withdraw_sign_off",
    "withdraw_told_link",
)


# What the owner alone decides and takes back, beside all that is of money or people.
OWNERS = ("decide", "give_back", "keep", "scrap", "sell_untested", "strip")


def undoable(entries: Iterable[JournalEntry], viewer: User) -> set[int]:
    """Return the ids of those entries that this person can still undo: one query for any number of them."""
    offered = [entry for entry in entries if entry.verb in UNDO and (viewer.is_owner or _anybodys(entry))]
    jobs = Q(job__in={entry.job_id for entry in offered})
    jobless = Q(job=None, machine__in={entry.machine_id for entry in offered if entry.job_id is None})
    ended = JournalEntry.objects.filter(jobs | jobless, verb__in=ENDS, subject__in={entry.subject for entry in offered})
    last: dict[str, int] = {}
    for subject, pk in ended.values_list("subject", "pk"):
        last[subject] = max(pk, last.get(subject, 0))
    return {entry.pk for entry in offered if last.get(entry.subject, 0) <= entry.pk}


def _anybodys(entry: JournalEntry) -> bool:
    return entry.area == Area.BENCH and entry.verb not in OWNERS
