"""Writers of decisions: which way a machine goes, and why."""

from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import Job, JournalEntry
from workshop.pricing import decide as deciding
from workshop.pricing.models import Decision
from workshop.trade.money.price import NoPrice
from workshop.trade.money.ways import Outlook, Way


def decide(act: Act, job: Job, *, way: Way, because: str, minutes: int, outlook: Outlook | None) -> JournalEntry:
    """Record which way a machine goes, with the numbers thought of; `outlook` is None for one that came back.

    :raises Refused: by another than the owner, when the job has ended, or without a figure for the way chosen
    """
    with acts.once(act):
        owner_alone(act)
        if job.closed_at is not None:
            raise Refused("This job has ended. There is nothing left to decide.")
        of = deciding.known(job, act.day)
        row = Decision.objects.create(
            job=job,
            way=way,
            because=because,
            minutes=minutes,
            net_minor=_net(of, way, outlook),
            worked_minutes=of.job_cost.minutes,
            failed=list(of.failed),
            by=act.by,
            at=act.at,
            **(_thoughts(outlook) if outlook else {}),
        )
        sentence = f"Decided: {way.label.lower()}, because {because}"
        return acts.write(act, "decide", sentence, row, job=job, after={"way": way.value})


def owner_alone(act: Act) -> None:
    """Let the owner alone decide and end. :raises Refused: for anybody else."""
    if not act.by.is_owner:
        raise Refused("Only the owner of the workshop decides this.")


def _net(of: deciding.Known, way: Way, outlook: Outlook | None) -> int | None:
    if outlook is None:
        return None
    try:
        chosen = deciding.weighed(of, outlook)[way]
    except NoPrice as why:
        raise Refused(str(why)) from why
    if chosen is None:
        raise Refused(f"{way.label}: type what it would bring first.", field=_AMOUNT_OF[way])
    return chosen.net_minor


_AMOUNT_OF = {Way.STRIP: "strip_minor", Way.PASS_ON: "pass_on_minor", Way.GIVE_BACK: "give_back_minor"}
_KEPT = ("parts_minor", "price_minor", "in_ten", "strip_minor", "strip_minutes", "pass_on_minor", "give_back_minor")


def _thoughts(outlook: Outlook) -> dict[str, int | None]:
    return {name: getattr(outlook, name) for name in _KEPT}


def strike_decision(act: Act, decision: Decision) -> JournalEntry:
    """Take a decision back as a slip; the one before stands again. :raises Refused: if done before, or job ended."""
    with acts.once(act):
        owner_alone(act)
        if decision.job.closed_at is not None:
            raise Refused("This job has ended. Undo how it ended first.")
        if decision.struck or Decision.objects.filter(corrects=decision).exists():
            raise Refused("This decision was taken back already.")
        columns = {f.name: getattr(decision, f.name) for f in Decision._meta.concrete_fields if f.name not in _OWN}
        row = Decision.objects.create(**columns, by=act.by, at=act.at, corrects=decision, struck=True)
        return acts.write(act, "strike_decision", f"Took back the decision: {decision}", row, job=decision.job)


_OWN = {"id", "by", "at", "corrects", "struck"}
