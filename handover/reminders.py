"""Care reminders by e-mail: queued in the database, tried with growing waits, never sent twice.

A reminder goes out only while the buyer's consent stands at that moment. It is claimed before it is sent: a server
that stops in between leaves it as "may have gone out", and nobody tries again.
"""

from contextlib import suppress
from datetime import date, datetime, timedelta

from django.db.models import F

from handover import care_due, care_words, consents, mail
from handover.care_due import Due
from handover.models import CareReminder
from handover.words_after import ReminderState
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry

WAITS_MIN = (5, 30, 2 * 60, 8 * 60, 24 * 60)  # before the second try, the third ...; house policy
SILENT_AFTER = timedelta(minutes=15)  # a claim older than this was left by a server that stopped; house policy
NO_SERVER = "No mail server is set for this workshop. Copy the words instead."
NOT_AGREED = "The buyer's consent to e-mail does not stand."


def queue(act: Act, today: date) -> JournalEntry:
    """Queue the e-mail of every machine due this week whose buyer agreed; what is queued, sent or told stays.

    :raises Refused: without a mail server, or when there is nothing to queue
    """
    with acts.once(act):
        _refuse_without_server()
        rows = [due for due in care_due.this_week(today) if due.can_mail and due.reminder is None]
        if not rows:
            raise Refused("There is no e-mail to queue: nobody agreed, or all of it is on its way.")
        made = [_queued(act, due.job, due.due_on) for due in rows]
        count = f"{len(made)} care reminder{'' if len(made) == 1 else 's'}"
        return acts.write(act, "queue_reminders", f"Queued {count} to be sent by e-mail", made[-1])


def _queued(act: Act, job: Job, due_on: date) -> CareReminder:
    row, _ = CareReminder.objects.get_or_create(
        job=job,
        due_on=due_on,
        defaults={"next_try_at": act.at, "queued_at": act.at, "queued_by": act.by, "changed_at": act.at},
    )
    return row


def send_now(act: Act, due: Due) -> JournalEntry:
    """Send one reminder at once, queued before or not. What fails stays queued, or says why it never will go.

    :raises Refused: without a server or consent, or when it went out, or may have, before
    """
    with acts.once(act):
        _refuse_without_server()
        if not due.can_mail:
            raise Refused(NOT_AGREED if due.reminder is None else f"This reminder: {due.reminder}. It is sent once.")
        row = _queued(act, due.job, due.due_on)
    return _send(act, row)


def send_queued(now: datetime) -> list[JournalEntry]:
    """Send what is queued and due for a try, each on its own; for the command. Claims left behind are given up."""
    stopped = CareReminder.objects.filter(state=ReminderState.SENDING, changed_at__lt=now - SILENT_AFTER)
    stopped.update(state=ReminderState.UNKNOWN, changed_at=now, why="The server stopped while it was being sent.")
    if not mail.is_set():
        return []
    waiting = CareReminder.objects.filter(state=ReminderState.QUEUED, next_try_at__lte=now)
    rows = waiting.select_related("queued_by", "job__machine").order_by("next_try_at", "pk")
    entries = []
    for row in rows:
        with suppress(Refused):  # a press has it just now
            entries.append(_send(Act(by=row.queued_by, at=now), row))
    return entries


def _send(act: Act, row: CareReminder) -> JournalEntry:
    """Claim, send, keep the outcome. :raises Refused: when another press has claimed it."""
    claimed = CareReminder.objects.filter(pk=row.pk, state__in=care_due.MAY_GO)
    if not claimed.update(state=ReminderState.SENDING, tries=F("tries") + 1, changed_at=act.at):
        raise Refused("It is being sent just now, or was sent before.")
    row.refresh_from_db()
    try:
        _deliver(row)
    except mail.MaybeSent as silent:
        return _keep(act, row, ReminderState.UNKNOWN, silent.why)
    except mail.NotSent as refused:
        return _failed(act, row, refused)
    return _keep(act, row, ReminderState.SENT, "")


def _deliver(row: CareReminder) -> None:
    """Send it, if it may still go at this moment. :raises NotSent: when it may not, or did not"""
    due = care_due.one(row.job, row.due_on)
    if due is None or due.buyer is None or not consents.stands(due.buyer):
        raise _Dropped(NOT_AGREED if due else "The machine is not with its buyer, or its care has changed.")
    text = f"{due.words.text}\n\n{care_words.why_you_get_this(due.words.language)}\n"
    mail.send(to=due.buyer.email, subject=due.words.subject, text=text, number=row.pk)


class _Dropped(mail.NotSent):
    """It may not be sent any more."""

    def __init__(self, why: str) -> None:
        super().__init__(why, again=False)


def _failed(act: Act, row: CareReminder, refused: mail.NotSent) -> JournalEntry:
    if isinstance(refused, _Dropped):
        return _keep(act, row, ReminderState.DROPPED, refused.why)
    if not refused.again or row.tries > len(WAITS_MIN):
        return _keep(act, row, ReminderState.FAILED, refused.why)
    again = act.at + timedelta(minutes=WAITS_MIN[row.tries - 1])
    return _keep(act, row, ReminderState.QUEUED, refused.why, again)


_SENTENCES = {
    ReminderState.SENT: "Sent a care reminder by e-mail",
    ReminderState.QUEUED: "A care reminder did not go out, and will be tried again",
    ReminderState.FAILED: "A care reminder did not go out",
    ReminderState.UNKNOWN: "A care reminder may have gone out: the mail server went silent",
    ReminderState.DROPPED: "A care reminder was not sent",
}


def _keep(act: Act, row: CareReminder, state: ReminderState, why: str, again: datetime | None = None) -> JournalEntry:
    with acts.once(act):
        row.state, row.why, row.next_try_at, row.changed_at = state, why[:200], again, act.at
        row.save(update_fields=["state", "why", "next_try_at", "changed_at"])
        return acts.write(act, "send_reminder", _SENTENCES[state], row, job=row.job)


def tell(act: Act, due: Due) -> JournalEntry:
    """Note that the buyer was told otherwise: called, or the words copied into a message. No e-mail goes then.

    :raises Refused: when an e-mail went out, or is going
    """
    with acts.once(act):
        row = _queued(act, due.job, due.due_on)
        free = CareReminder.objects.filter(pk=row.pk).exclude(
            state__in=(ReminderState.SENDING, ReminderState.SENT, ReminderState.TOLD)
        )
        if not free.update(state=ReminderState.TOLD, next_try_at=None, why="", changed_at=act.at):
            row.refresh_from_db()
            raise Refused(f"This reminder: {row}. There is nothing left to do.")
        return acts.write(act, "tell_care", "Told the buyer of the care that is due", row, job=due.job)


def take_back_told(act: Act, row: CareReminder) -> JournalEntry:
    """Undo that note: the care is open again; one that was tried before may have gone out, and is not sent.

    :raises Refused: when it was undone already
    """
    with acts.once(act):
        if row.state != ReminderState.TOLD:
            raise Refused("This was undone already.")
        entry = acts.write(act, "take_back_told_care", "The buyer was not told of the care after all", row, job=row.job)
        if row.tries:
            row.state, row.changed_at = ReminderState.UNKNOWN, act.at
            row.save(update_fields=["state", "changed_at"])
        else:
            row.delete()
        return entry


def _refuse_without_server() -> None:
    if not mail.is_set():
        raise Refused(NO_SERVER)
