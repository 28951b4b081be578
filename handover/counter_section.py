"""What the Hand over page shows of the counter: cue cards, film, packing, and the way back from handing over."""

from datetime import date
from typing import Any

from handover import films, packing
from handover.counter_forms import FilmBackForm, FilmForm
from handover.models import HandedOver
from workshop.core.forms import ActForm
from workshop.core.models import Job, JournalEntry
from workshop.core.services.jobs import may_reopen


def of(job: Job, pressed: ActForm | None, today: date) -> dict[str, Any]:
    """Return the part of the page's context; `pressed` is a refused form, shown in its place."""
    film = films.standing(job)
    return {
        "film": film,
        "film_shows": films.words(film) if film else "",
        "film_form": pressed if isinstance(pressed, FilmForm) else FilmForm(initial={"filmed_on": today}),
        "film_back_form": pressed if isinstance(pressed, FilmBackForm) else FilmBackForm(),
        "packed": packing.standing(job),
        "pack_missing": packing.missing(job) if job.closed_at is None and packing.asked(job) else [],
    }


def undo_entry(handed_over: HandedOver | None, today: date) -> JournalEntry | None:
    """Return the entry whose Undo takes handing over back; nothing once it is too late."""
    if handed_over is None or not may_reopen(today, handed_over.at):
        return None
    subject = f"{HandedOver._meta.label_lower}:{handed_over.pk}"
    return JournalEntry.objects.filter(verb="hand_over", subject=subject).first()
