"""Writers of the workshop's own limits: the owner sets them, a new row each time."""

from decimal import Decimal

from workshop.bench.example import example_limits
from workshop.bench.models import LimitRow
from workshop.bench.models.corrections import STANDS
from workshop.bench.services.take_back import counter_row
from workshop.bench.words import OwnMeasure
from workshop.core import acts
from workshop.core.acts import Act, Refused
from workshop.core.models import JournalEntry
from workshop.core.words import Area
from workshop.trade.safety.electrical import OwnLimit, Profile, loosens, says_why


def set_limit(
    act: Act, profile: Profile, measure: OwnMeasure, *, low: Decimal | None, high: Decimal | None, reason: str
) -> JournalEntry:
    """Set our own limit on a measure; machines under way keep theirs.

    :raises Refused: not by the owner, no end given, an end its measure does not have, ends the wrong way round,
        wider than the place's limit without a reason, or a reason of a word or two
    """
    with acts.once(act):
        _owner(act)
        _refuse_ends(measure, low, high)
        _refuse_reason(profile, measure, OwnLimit(low, high, reason))
        row = LimitRow.objects.create(
            profile=profile.code if measure.electrical else "",
            measure=measure,
            low=low,
            high=high,
            reason=reason,
            by=act.by,
            at=act.at,
        )
        after = {"low": low, "high": high, "reason": reason}
        return acts.write(act, "set_own_limit", f"Our own limit: {row}", row, area=Area.SHOP, after=after)


def strike_limit(act: Act, row: LimitRow) -> JournalEntry:
    """Take our own limit back; the one before counts again. :raises Refused: if done before, or not by the owner."""
    with acts.once(act):
        _owner(act)
        if not LimitRow.objects.filter(STANDS, pk=row.pk).exists():
            raise Refused("This limit was taken back already.")
        counter_row(act, row)
        return acts.write(act, "strike_own_limit", f"Took back our own limit: {row}", row, area=Area.SHOP)


def _owner(act: Act) -> None:
    if not act.by.is_owner:
        raise Refused("Only the owner of the workshop may set its limits.")


def _refuse_ends(measure: OwnMeasure, low: Decimal | None, high: Decimal | None) -> None:
    if measure.only_end == "high" and low is not None:
        raise Refused(f"{measure.label} has a highest only: leave the lowest empty.", field="low")
    if measure.only_end == "low" and high is not None:
        raise Refused(f"{measure.label} has a lowest only: leave the highest empty.", field="high")
    if low is None and high is None:
        raise Refused(
            "Type the lowest or the highest that passes.", field="high" if measure.only_end == "high" else "low"
        )
    if low is not None and high is not None and low > high:
        raise Refused("The lowest is above the highest. Check both.", field="high")


def _refuse_reason(profile: Profile, measure: OwnMeasure, own: OwnLimit) -> None:
    """Where it is stricter on some machines, the others keep the place's end: a reason given must say something."""
    limits = example_limits(profile, measure)
    if limits and not own.reason.strip() and all(loosens((limit.low, limit.high), own) for limit in limits):
        raise Refused(f"This is wider than {limits[0].words}. Say why: it prints with the reading.", field="reason")
    if own.reason.strip() and not says_why(own.reason):
        raise Refused("Say why in three words or more: it prints with the reading.", field="reason")
