"""Earlier units of the same model, for the dial-in of the next one: three queries, however many there are."""

from collections import defaultdict
from dataclasses import replace

from workshop.bench.dialin import DialIn, trade_shots
from workshop.bench.models import BurrChange, Recipe, Shot
from workshop.bench.models.corrections import STANDS
from workshop.core.models import Job
from workshop.trade.coffee.earlier import EarlierUnit

NEWEST = 20  # units looked back at: burrs and coffee change with the years. House policy.


def with_earlier(facts: DialIn, job: Job) -> DialIn:
    """Return the shots of a job beside those of the newest earlier units of its model that have a standing recipe."""
    if facts.scale is None or facts.scale.finer is None:
        return facts
    return replace(facts, earlier=_units(facts, job))


def _units(facts: DialIn, job: Job) -> tuple[EarlierUnit, ...]:
    standing = Recipe.objects.filter(
        job__machine__notes_id=job.machine.notes_id,
        struck_at__isnull=True,
        second_shot__built_in_grinder=facts.built_in,
        second_shot__setting__isnull=False,
    ).exclude(job=job)
    newest = {
        recipe.job_id: recipe for recipe in reversed(standing.select_related("second_shot").order_by("-pk")[:NEWEST])
    }
    pulled: dict[int, list[Shot]] = defaultdict(list)
    opened = {row.job_id: row.at for row in BurrChange.objects.filter(STANDS, job_id__in=newest).order_by("at", "pk")}
    for shot in Shot.objects.current().filter(job_id__in=newest, setting__isnull=False):
        if shot.job_id not in opened or shot.at > opened[shot.job_id]:  # burr zero has moved since
            pulled[shot.job_id].append(shot)
    return tuple(
        EarlierUnit(recipe.second_shot.setting, tuple(trade_shots(pulled[job_id])))
        for job_id, recipe in newest.items()
        if _stands(recipe, pulled[job_id])
    )


def _stands(recipe: Recipe, shots: list[Shot]) -> bool:
    """Say whether both shots a recipe rests on are still there."""
    return {recipe.first_shot_id, recipe.second_shot_id} <= {shot.pk for shot in shots}
