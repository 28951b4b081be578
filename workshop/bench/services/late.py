"""Late entries: read at the bench earlier today, entered now. Both times are kept and printed."""

from datetime import datetime, time

from django.utils import timezone

from workshop.bench.facts.prove import ProveFacts, Standing
from workshop.bench.facts.prove.judged import Opened
from workshop.core.acts import Act, Refused
from workshop.core.templatetags.measures import clock

BOX = "read_at"


def read_at(act: Act, facts: ProveFacts, standing: Standing, said: time | None) -> datetime | None:
    """Return when a late entry was read, of today; None where no time was said.

    :raises Refused: a time to come, or one at which this reading would not count: before the item was last read, or
        before the case was last shut or the grinder opened
    """
    if said is None:
        return None
    moment = datetime.combine(act.day, said, timezone.get_current_timezone())
    if moment > act.at:
        raise Refused("This time has not come yet. Type when it was read, or leave the box empty.", field=BOX)
    if standing.last is not None and moment < standing.last.done_at:
        raise Refused(f"It was read after that, at {clock(standing.last.done_at)}. Type a later time.", field=BOX)
    if Opened(facts.opened, facts.burrs).withdraws(standing.item, moment):
        raise Refused(
            f"The {standing.item.lapses_with} was opened after that, or was open then. Read it again.", field=BOX
        )
    return moment
