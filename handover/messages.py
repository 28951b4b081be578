"""What buyers wrote from their pages: what still waits for an answer, answering it, and taking an answer back."""

from collections.abc import Collection

from handover.models import BuyerAnswer, BuyerMessage
from handover.words import Trouble
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Machine
from workshop.core.reads import once_a_page


def of_machine(machine: Machine) -> list[BuyerMessage]:
    """Return what the buyers of a machine wrote, newest first, with the answers."""
    return _of_machines([machine.pk])[machine.pk]


@once_a_page
def _of_machines(machine_ids: Collection[int]) -> dict[int, list[BuyerMessage]]:
    found: dict[int, list[BuyerMessage]] = {pk: [] for pk in machine_ids}
    rows = BuyerMessage.objects.filter(link__job__machine__in=machine_ids).select_related("link__job")
    for row in rows.prefetch_related("answers__by").order_by("-at", "-pk"):
        found[row.link.job.machine_id].append(row)
    return found


def waiting() -> list[BuyerMessage]:
    """Return what nobody has answered, of every machine, also of those sold: shocks, other dangers, then the oldest."""
    rows = BuyerMessage.objects.unanswered().select_related("link__job__machine").order_by("at", "pk")
    return sorted(rows, key=lambda row: (row.trouble != Trouble.SHOCK, not row.is_danger))


def newest_words(machine: Machine) -> str:
    """Return what the buyer of a machine wrote last and nobody has answered, or nothing."""
    rows = BuyerMessage.objects.unanswered().filter(link__job__machine=machine).exclude(words="")
    return rows.order_by("-at", "-pk").values_list("words", flat=True).first() or ""


def dangers(machine: Machine) -> list[BuyerMessage]:
    """Return the dangers of one machine that nobody has answered."""
    return list(BuyerMessage.objects.unanswered().dangers().filter(link__job__machine=machine).order_by("at", "pk"))


def in_danger(job_ids: Collection[int]) -> set[int]:
    """Return those of these jobs, still open, whose machine has an unanswered danger."""
    rows = BuyerMessage.objects.unanswered().dangers()
    at_work = Job.objects.open().filter(pk__in=job_ids, machine__in=rows.values("link__job__machine"))
    return set(at_work.values_list("pk", flat=True))


def waits(message: BuyerMessage) -> bool:
    """Say whether nobody has answered a message, or its answer was taken back."""
    return BuyerMessage.objects.unanswered().filter(pk=message.pk).exists()


def answer(act: Act, job: Job, message: BuyerMessage, *, words: str) -> JournalEntry:
    """Keep how a message was answered. :raises Refused: when it was answered already."""
    with acts.once(act):
        if not waits(message):
            raise Refused("It was answered already.")
        BuyerAnswer.objects.create(message=message, words=words, by=act.by, at=act.at)
        return acts.write(act, "answer_buyer", f"Answered the buyer: {words}", message, job=job)


def take_back_answer(act: Act, job: Job, message: BuyerMessage) -> JournalEntry:
    """Undo an answer: the message waits again. :raises Refused: when it waits already."""
    with acts.once(act):
        if waits(message):
            raise Refused("This was undone already.")
        BuyerAnswer.objects.create(message=message, words="", by=act.by, at=act.at)
        return acts.write(act, "take_back_answer", "The buyer's message waits for an answer again", message, job=job)
