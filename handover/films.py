"""Films of a machine being shown: kept by address, taken back, and said to the buyer."""

from datetime import date

from django.db.models import Q
from django.utils.translation import gettext as _

from handover.cue_words import SHOWN
from handover.models import Film
from handover.sheet import BuyerAddress
from intake.came import first_came_on
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.templatetags.measures import day

HTTPS = "https://"


def standing(job: Job) -> Film | None:
    """Return the film that counts, if any: of a sale and of the times the machine came back after it."""
    sale = job.first_job_id or job.pk
    rows = Film.objects.filter(Q(job_id=sale) | Q(job__first_job_id=sale)).select_related("by")
    row = rows.order_by("-pk").first()
    return row if row is not None and row.address else None


def keep(act: Act, job: Job, *, address: str, filmed_on: date, shows: list[str]) -> JournalEntry:
    """Keep a film's address, its day and what it shows; also after the machine has gone.

    :raises Refused: a day that has not come or before the machine came, or the same film again
    """
    with acts.once(act):
        if filmed_on > act.day:
            raise Refused("This day has not come. Type the day it was filmed.", field="filmed_on")
        if filmed_on < (here_since := first_came_on(job.machine)):
            raise Refused(f"The machine came here on {day(here_since)}. Check the day and year.", field="filmed_on")
        before = standing(job)
        said = " ".join(shows)
        if before and (before.address, before.filmed_on, before.shows) == (address, filmed_on, said):
            raise Refused("This film is kept already.", field="address")
        row = Film.objects.create(job=job, address=address, filmed_on=filmed_on, shows=said, by=act.by, at=act.at)
        return acts.write(act, "keep_film", "Kept the address of a film", row, job=job)


def take_back(act: Act, film: Film | None) -> JournalEntry:
    """Take a film back: neither sheet nor page shows it any more. :raises Refused: when it counts no more."""
    with acts.once(act):
        if film is None or standing(film.job) != film:
            raise Refused("This film was taken back or replaced already.")
        Film.objects.create(job=film.job, by=act.by, at=act.at)
        return acts.write(act, "take_back_film", "Took back the address of a film", film, job=film.job)


def shown(film: Film | None) -> BuyerAddress | None:
    """Return a film as the sheet prints it: the address for the code, one to type, and what it shows in words."""
    if film is None:
        return None
    return BuyerAddress(film.address, film.address.removeprefix(HTTPS).rstrip("/"), words(film))


def words(film: Film) -> str:
    """Say what a film shows, in the language in force."""
    what = ", ".join(str(SHOWN[code]) for code in film.codes)
    if not what:
        return _("A film of this machine.")
    return _("A film of this machine shows: %(what)s.") % {"what": what}
