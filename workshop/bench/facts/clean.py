"""Clean and descale: what it rests on, and what is missing in sentences."""

from collections import defaultdict
from collections.abc import Collection
from dataclasses import dataclass, field
from decimal import Decimal

from django.db.models import Max

from workshop.bench.models import CleanLine, DescaleRun, LeadFlush, NotNeeded, ResidualCheck, Rinse
from workshop.bench.models.corrections import STANDS
from workshop.bench.words import Cleaned, Path
from workshop.core.models import Job, ModelNotes
from workshop.core.reads import once_a_page
from workshop.core.stations import Facts, Unmet
from workshop.core.words import Kind
from workshop.trade.water import rinsing
from workshop.trade.water.descaling import Agent
from workshop.trade.water.rinsing import BoilerKind

PAGE = "bench:clean"
FOOD_ACIDS = (Agent.CITRIC_ANHYDROUS, Agent.CITRIC_MONOHYDRATE, Agent.LACTIC, Agent.TARTARIC, Agent.ACETIC)
SMALL_BOILER_L = Decimal("0.3")  # house policy: above it, rinsed clean is measured, not counted
TIMES_COMPUTED = 2  # house policy: food acid in a small machine is rinsed with twice the computed litres


@dataclass(frozen=True, slots=True)
class WaterPath:
    """One way the water takes in this machine, and the boiler it passes."""

    path: Path
    boiler_l: Decimal | None
    kind: BoilerKind

    def needed_l(self, strength_percent: Decimal) -> Decimal | None:
        """Return the computed litres for one rinse, or None while the boiler's litres are unknown."""
        if not self.boiler_l:
            return None
        return rinsing.rinse_volume_l(self.boiler_l, kind=self.kind, strength_percent=strength_percent)


def paths_of(notes: ModelNotes) -> list[WaterPath]:
    """Return the ways the water takes in a model, from its notes."""
    if notes.kind == Kind.GRINDER:
        return []
    block = notes.kind == Kind.THERMOBLOCK
    brew_kind = BoilerKind.PLUG if block or notes.kind == Kind.HEAT_EXCHANGER else BoilerKind.FLOW_THROUGH
    steam_l = notes.steam_boiler_l or notes.brew_boiler_l
    steam_kind = BoilerKind.FILL_AND_DRAIN if notes.steam_boiler_l else brew_kind
    paths = [WaterPath(Path.BREW, notes.brew_boiler_l or notes.steam_boiler_l, brew_kind)]
    if notes.has_steam:
        paths.append(WaterPath(Path.STEAM, steam_l, steam_kind))
    if notes.has_hot_water:
        paths.append(WaterPath(Path.HOT_WATER, steam_l, steam_kind))
    return paths


def things_to_clean(notes: ModelNotes) -> list[Cleaned]:
    """Return what a model has that wants cleaning."""
    if notes.kind == Kind.GRINDER:
        return [Cleaned.GRINDER, Cleaned.CASE]
    has = {Cleaned.GRINDER: notes.has_grinder, Cleaned.WAND: notes.has_steam}
    return [what for what in Cleaned if has.get(what, True)]


@dataclass(frozen=True, slots=True, kw_only=True)
class CleanFacts(Facts):
    """What was cleaned, run and rinsed on one machine."""

    wanted: list[Cleaned] = field(default_factory=list)
    lines: dict[str, CleanLine] = field(default_factory=dict)
    paths: list[WaterPath] = field(default_factory=list)
    runs: list[DescaleRun] = field(default_factory=list)
    rinses: list[Rinse] = field(default_factory=list)
    rinsed_l: dict[str, Decimal] = field(default_factory=dict)
    residual: ResidualCheck | None = None
    flush: LeadFlush | None = None
    descale_not_needed: str = ""

    @property
    def measured_check_wanted(self) -> bool:
        """Say whether rinsed clean must be measured: another agent than a food acid, or a boiler over 0.3 L."""
        other = any(run.agent not in FOOD_ACIDS for run in self.runs)
        large = any((path.boiler_l or 0) > SMALL_BOILER_L for path in self.paths)
        return bool(self.runs) and (other or large)

    @property
    def waits_for_acid(self) -> bool:
        """Say whether descaling has neither begun nor been answered with 'not needed'."""
        return bool(self.paths) and not self.runs and not self.descale_not_needed

    def wanted_l(self, path: WaterPath) -> Decimal | None:
        """Return the litres to run through a path: twice the computed ones for the strongest run."""
        strongest = max((run.strength_percent for run in self.runs), default=None)
        needed = path.needed_l(strongest) if strongest else None
        return needed * TIMES_COMPUTED if needed is not None else None


@once_a_page
def facts(job_ids: Collection[int]) -> dict[int, CleanFacts]:
    """Return the facts of each job: the same seven queries for one job or a thousand."""
    jobs = Job.objects.filter(pk__in=job_ids).select_related("machine__notes")
    lines: dict[int, dict[str, CleanLine]] = defaultdict(dict)
    for line in CleanLine.objects.filter(STANDS, job_id__in=job_ids).select_related("by").order_by("pk"):
        lines[line.job_id][line.what] = line
    runs: dict[int, list[DescaleRun]] = defaultdict(list)
    for run in DescaleRun.objects.filter(job_id__in=job_ids, struck_at__isnull=True).order_by("pk"):
        runs[run.job_id].append(run)
    rinses: dict[int, list[Rinse]] = defaultdict(list)
    for rinse in Rinse.objects.filter(job_id__in=job_ids, struck_at__isnull=True).select_related("by").order_by("pk"):
        rinses[rinse.job_id].append(rinse)
    residual = {r.job_id: r for r in ResidualCheck.objects.filter(STANDS, job_id__in=job_ids).order_by("pk")}
    flush = {
        f.job_id: f for f in LeadFlush.objects.filter(STANDS, job_id__in=job_ids).select_related("by").order_by("pk")
    }
    answers = not_needed(job_ids, "descale")
    return {
        job.pk: _one(job, lines[job.pk], runs[job.pk], rinses[job.pk], residual.get(job.pk), flush.get(job.pk), answers)
        for job in jobs
    }


def not_needed(job_ids: Collection[int], what: str) -> dict[int, NotNeeded]:
    """Return the newest 'not needed, because' of each job for one thing, where it still stands."""
    newest = NotNeeded.objects.filter(job_id__in=job_ids, what=what).values("job_id").annotate(last=Max("pk"))
    rows = NotNeeded.objects.filter(pk__in=[row["last"] for row in newest])
    return {row.job_id: row for row in rows if row.because}


def _one(
    job: Job,
    lines: dict[str, CleanLine],
    runs: list[DescaleRun],
    rinses: list[Rinse],
    residual: ResidualCheck | None,
    flush: LeadFlush | None,
    answers: dict[int, NotNeeded],
) -> CleanFacts:
    last_run_at = runs[-1].at if runs else None
    after = [rinse for rinse in rinses if last_run_at is None or rinse.at >= last_run_at]
    rinsed: dict[str, Decimal] = defaultdict(Decimal)
    for rinse in after:
        rinsed[rinse.path] += rinse.volume_l
    fresh_residual = residual if residual and (last_run_at is None or residual.at >= last_run_at) else None
    fresh_flush = flush if flush and (last_run_at is None or flush.at >= last_run_at) else None
    answer = answers.get(job.pk)
    asserted = {
        "lines": sorted(line.pk for line in lines.values()),
        "runs": [run.pk for run in runs],
        "rinses": [rinse.pk for rinse in after],
        "residual": fresh_residual.pk if fresh_residual else None,
        "flush": fresh_flush.pk if fresh_flush else None,
        "not_needed": answer.pk if answer else None,
    }
    return CleanFacts(
        begun=bool(lines or runs or rinses),
        asserted=asserted,
        wanted=things_to_clean(job.machine.notes),
        lines=lines,
        paths=paths_of(job.machine.notes),
        runs=runs,
        rinses=after,
        rinsed_l=dict(rinsed),
        residual=fresh_residual,
        flush=fresh_flush,
        descale_not_needed=answer.because if answer else "",
    )


def unmet(facts: CleanFacts) -> list[Unmet]:
    """Return what is missing before Clean and descale is finished."""
    missing = [
        Unmet(f"clean_{what.value.lower()}", f"Clean the {what.label.lower()}, or say why not.", PAGE, "clean")
        for what in facts.wanted
        if what.value not in facts.lines
    ]
    if not facts.paths or facts.descale_not_needed:
        return missing
    if not facts.runs:
        return [*missing, Unmet("descale", "Descale it, or say why it is not needed.", PAGE, "descale")]
    return [*missing, *_unrinsed(facts), *_unchecked(facts)]


def _unrinsed(facts: CleanFacts) -> list[Unmet]:
    missing = []
    for path in facts.paths:
        wanted = facts.wanted_l(path)
        where = path.path.label.lower()
        if wanted is None:
            words = "Say the boiler's litres in the model notes: the rinse is computed from them."
            return [Unmet("boiler_litres", words, PAGE, "rinse")]
        done = facts.rinsed_l.get(path.path.value, Decimal(0))
        if done < wanted:
            words = f"Rinse {where}: {wanted - done:.1f} L of {wanted:.1f} L to go."
            missing.append(Unmet(f"rinse_{path.path.value.lower()}", words, PAGE, "rinse"))
    return missing


def _unchecked(facts: CleanFacts) -> list[Unmet]:
    missing = []
    check = facts.residual
    if check is not None and check.residual_mg_l > check.limit_mg_l:
        words = "Acid was measured over the limit: rinse again, and measure again."
        missing.append(Unmet("residual", words, PAGE, "residual"))
    elif facts.measured_check_wanted and (check is None or not check.passed):
        words = "Measure the acid left in the last rinse: it must be under the limit."
        missing.append(Unmet("residual", words, PAGE, "residual"))
    if facts.flush is None:
        words = "Flush after descaling and pour it away: fresh metal gives off lead. Log it."
        missing.append(Unmet("lead_flush", words, PAGE, "flush"))
    return missing
