"""Writers of what the proving of a machine goes by: its limits, and whether the full set is asked."""

from intake.services.guard import open_job
from workshop.bench.facts import prove as facts_of
from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import ProveBasis
from workshop.bench.models.corrections import STANDS
from workshop.bench.services.take_back import counter_row, take_back
from workshop.bench.words import BasisOf
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry, Shop
from workshop.trade.safety.electrical import PROFILES, Profile


def begin(act: Act, job: Job, facts: ProveFacts) -> None:
    """Note, with its first reading, which limits a machine is held against; inside the caller's act."""
    if facts.kept.since is None:
        _limits(act, job, facts.kept.profile)


def use_todays(act: Act, job: Job) -> JournalEntry:
    """Hold a machine under way against today's profile and our own limits of today.

    :raises Refused: when the job has ended, or nothing would change
    """
    with acts.once(act):
        open_job(job)
        if not facts_of.facts([job.pk])[job.pk].kept.differs:
            raise Refused("It is held against today's limits already.")
        shop = Shop.objects.filter(pk=1).first()
        profile = PROFILES.get(shop.profile if shop else "", PROFILES["record_only"])
        row = _limits(act, job, profile)
        sentence = f"Took today's limits: {profile.title}, {profile.edition}"
        return acts.write(act, "use_todays_limits", sentence, row, job=job)


def ask_full_set(act: Act, job: Job, *, because: str) -> JournalEntry:
    """Ask for the full set, with why. :raises Refused: when the job has ended, or it is asked already."""
    with acts.once(act):
        open_job(job)
        row = full_now(act, job, because=because)
        if row is None:
            raise Refused("The full set is asked already.")
        return acts.write(act, "ask_full_set", f"Asked for the full set: {because}", row, job=job)


def full_now(act: Act, job: Job, *, because: str) -> ProveBasis | None:
    """Ask for the full set inside the caller's act; None where it is asked already."""
    if _asked(job) is not None:
        return None
    return ProveBasis.objects.create(job=job, what=BasisOf.FULL_SET, because=because, by=act.by, at=act.at)


def short_set(act: Act, job: Job) -> JournalEntry:
    """Take back that the full set was asked for. :raises Refused: when nobody asked, or the job has ended."""
    with acts.once(act):
        open_job(job)
        row = _asked(job)
        if row is None:
            raise Refused("Nobody asked for the full set.")
        return take_back(act, [row], f"the full set, {row.because}")


def drop_full(act: Act, asked_by: Act, job: Job) -> None:
    """Take back, inside the caller's act, what another act asked for: its own row only."""
    row = _asked(job)
    if row is not None and (row.by_id, row.at) == (asked_by.by.pk, asked_by.at):
        counter_row(act, row)


def _asked(job: Job) -> ProveBasis | None:
    return ProveBasis.objects.filter(STANDS, job=job, what=BasisOf.FULL_SET).first()


def _limits(act: Act, job: Job, profile: Profile) -> ProveBasis:
    return ProveBasis.objects.create(
        job=job, what=BasisOf.LIMITS, profile=profile.code, profile_version=profile.version, by=act.by, at=act.at
    )
