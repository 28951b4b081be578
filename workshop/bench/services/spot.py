"""Writer of the draw: one unit in ten has two readings repeated. Nobody can know beforehand which."""

import secrets

from workshop.bench.facts.prove import ProveFacts
from workshop.bench.models import SpotCheck
from workshop.core import people
from workshop.core.acts import Act
from workshop.core.models import Job
from workshop.trade.safety.discipline import SPOT_CHECK_ONE_IN, SPOT_CHECK_READINGS


def roll() -> bool:
    """Say whether this unit is drawn. Nothing but chance decides; tests put their own in its place."""
    return secrets.randbelow(int(SPOT_CHECK_ONE_IN.value)) == 0


def draw_once(act: Act, job: Job, facts: ProveFacts) -> None:
    """Draw when Prove is first begun, inside the caller's act. The draw stands, whatever is taken back later."""
    if facts.spot is None and not facts.begun:
        keep(act, job, _items(facts) if roll() else ())


def _items(facts: ProveFacts) -> tuple[str, ...]:
    """Two readings of the set by chance; none that wants the lid off, or only says that it is shut."""
    codes = [s.item.code for s in facts.asked() if not (s.item.opens_case or s.item.shuts_case)]
    return tuple(secrets.SystemRandom().sample(codes, min(int(SPOT_CHECK_READINGS.value), len(codes))))


def keep(act: Act, job: Job, items: tuple[str, ...]) -> SpotCheck:
    """Keep the draw of a unit: the codes of what is repeated, none where it was not drawn."""
    first, second = (*items, "", "")[:2]
    return SpotCheck.objects.create(
        job=job,
        drawn=bool(items),
        first_item=first,
        second_item=second,
        alone=people.active() == 1,
        by=act.by,
        at=act.at,
    )
