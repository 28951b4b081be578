"""A machine that came back and leaves again: what must be answered first, and what its paper says of tests not made."""

from django.utils import translation
from django.utils.translation import gettext as _

from handover import compose, messages, stations
from handover.models import BuyerMessage, Sheet
from handover.words import Language
from workshop.bench import stations as bench_stations
from workshop.bench.models import CaseOpening
from workshop.core import stations as core_stations
from workshop.core.models import Job
from workshop.core.words import JobKind, ReturnCause


def unanswered(job: Job) -> str:
    """Return the sentence that holds a machine here while its buyer waits for an answer to a danger, or nothing."""
    return stations.UNANSWERED if messages.dangers(job.machine) else ""


def untested(job: Job, because: str) -> list[str]:
    """Return what the paper of a return that goes home without proof and sheet says; nothing where none is wanted.

    It speaks the buyer's language, and English below it where that is another: the workshop reads its own paper.
    """
    if not _wants_proof(job) or _proved_again(job):
        return []
    row = compose.standing_reservation(job)
    languages = [row.language if row else Language.EN, Language.EN]
    return [line for language in dict.fromkeys(languages) for line in _lines(job, because, language)]


def _lines(job: Job, because: str, language: str) -> list[str]:
    begun = compose.was_measured(job)
    with translation.override(language):
        return [
            _("It goes home without a new sheet, because: %(words)s") % {"words": because},
            _("Its tests since it came back are not finished. Have a licensed person look at it before use.")
            if begun
            else _("It was not tested since it came back. Have a licensed person look at it before use."),
        ]


def _wants_proof(job: Job) -> bool:
    """Say whether something was wrong or was opened: a mind that changed alone breaks nothing."""
    if job.kind != JobKind.CAME_BACK:
        return False
    if job.cause != ReturnCause.CHANGED_MIND or CaseOpening.objects.standing().filter(job=job).exists():
        return True
    return BuyerMessage.objects.dangers().filter(link__job=job.first_job_id).exists()


def _proved_again(job: Job) -> bool:
    return Sheet.objects.filter(job=job).exists() and core_stations.one(bench_stations.PROVE, job.pk).closed
