"""Writers of extra costs."""

from intake.services.guard import open_job
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.core.templatetags.measures import money
from workshop.core.words import Area
from workshop.pricing import costs
from workshop.pricing.models import ExtraCost


def add_extra_cost(act: Act, job: Job, *, words: str, amount_minor: int) -> JournalEntry:
    """Add a cost that is neither a part nor work. :raises Refused: when the job has ended."""
    with acts.once(act):
        open_job(job)
        row = ExtraCost.objects.create(job=job, words=words, amount_minor=amount_minor, by=act.by, at=act.at)
        sentence = f"Extra cost: {words}, {money(amount_minor, costs.the_shop())}"
        after = {"amount_minor": amount_minor}
        return acts.write(act, "add_extra_cost", sentence, row, job=job, area=Area.MONEY, after=after)


def strike_extra_cost(act: Act, extra: ExtraCost) -> JournalEntry:
    """Take an extra cost back as a slip. :raises Refused: if done before, or not by the owner."""
    with acts.once(act):
        if not act.by.is_owner:
            raise Refused("Only the owner of the workshop may take a cost back.")
        open_job(extra.job)
        standing = ExtraCost.objects.filter(pk=extra.pk, struck_at__isnull=True)
        if not standing.update(struck_at=act.at, struck_by=act.by):
            raise Refused("This was taken back already.")
        sentence = f"Took back the extra cost: {extra.words}"
        return acts.write(act, "strike_extra_cost", sentence, extra, job=extra.job, area=Area.MONEY)
