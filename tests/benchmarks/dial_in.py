"""Dial-in replayed: how soon a shot lands inside the target time, against three simple rules and one that knows all.

Run from the project: `python -m tests.benchmarks.dial_in [units]`; it prints the tables of DEVELOPERS.md, section 7.
With a seed behind the units it replays only the advice without earlier units, with and without wild shots.
The simulated population was fixed before the model was written and the model is never tuned to it:

- 16 marks; ln seconds rise by a slope for each mark finer, log-normal with median 0.13 and sigma 0.5, and by a
  curvature, normal with spread 0.006, for each mark squared from the right setting;
- the right setting, 24.5 s, lies anywhere on the scale, between marks too; the technician starts on the mark
  nearest to a normal of 3.5 marks off it, and stays on the scale;
- repeats spread by 0.05, 0.08 or 0.11 in ln seconds, with equal chance; the target time is 20 to 30 s.

A hit is a shot pulled that lands inside, noise and all. The first shot is pulled where the technician starts, the
second is the first one advised. Every rule meets the same units and the same noise. "After 20 units" means that 20
other units, drawn with a seed of their own, were dialled in by the advice before: what they taught is all it knows.
"""

# ruff: noqa: T201  (a benchmark prints what it measured)
import random
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise
from math import exp, log

from workshop.trade.coffee.dial_in import Fit, Prior, Shot, Target, fit, next_to_try
from workshop.trade.coffee.earlier import EarlierUnit, prior_from
from workshop.trade.coffee.verdict import recipe_pair
from workshop.trade.scales import Scale, ScaleKind

SEED, SEED_EARLIER, UNITS, SHOTS, MOST = 20, 2, 5_000, 3, 8
TARGET = Target(Decimal(20), Decimal(30), Decimal(18), Decimal(36))
LOW, HIGH, MIDDLE, RIGHT = log(20), log(30), (log(20) + log(30)) / 2, log(24.5)
MARKS = 16


@dataclass(frozen=True, slots=True)
class Unit:
    """One grinder: marks count from the fine end, and its noise is drawn before anybody pulls."""

    marks: int
    right: float
    slope: float
    curvature: float
    start: int
    strays: tuple[float, ...]  # ln seconds added to each shot in turn
    mixes: tuple[float, ...]  # share of old grounds in each shot that follows a change

    def ln_s(self, mark: float) -> float:
        """The ln seconds of a mark without noise."""
        finer = self.right - mark
        return RIGHT + self.slope * finer + self.curvature * finer**2

    def pull(self, at: int, mark: int, before: int | None) -> float:
        """The seconds of shot `at` (from 0) at a mark, the one before pulled elsewhere."""
        mix = 0.0 if before is None else self.mixes[at]
        ln_s = (1 - mix) * self.ln_s(mark) + mix * self.ln_s(mark if before is None else before)
        return round(exp(ln_s + self.strays[at]), 1)


@dataclass(frozen=True, slots=True)
class World:
    """What differs from the fixed population: marks, wild shots, old grounds."""

    marks: int = MARKS
    wild: float = 0.0  # share of shots that channel and run 0.5 give or take 0.2 too fast, ln seconds
    mixed: bool = False  # 10 to 40 % of old grounds in each shot after a change

    def draw(self, rng: random.Random) -> Unit:
        """Draw one unit; with other marks the same grinder is cut finer or coarser."""
        cut = (MARKS - 1) / (self.marks - 1)
        right = rng.uniform(1, self.marks)
        start = min(max(round(right + rng.gauss(0, 3.5 / cut)), 1), self.marks)
        slope, curvature = 0.13 * exp(rng.gauss(0, 0.5)) * cut, rng.gauss(0, 0.006) * cut**2
        noise = rng.choice((0.05, 0.08, 0.11))
        strays, mixes = [], []
        for _ in range(MOST):
            channel = abs(rng.gauss(0.5, 0.2)) if rng.random() < self.wild else 0.0
            strays.append(rng.gauss(0, noise) - channel)
            mixes.append(rng.uniform(0.1, 0.4) if self.mixed else 0.0)
        return Unit(self.marks, right, slope, curvature, start, tuple(strays), tuple(mixes))

    def units(self, count: int, seed: int = SEED) -> list[Unit]:
        """So many units of one seed."""
        rng = random.Random(seed)
        return [self.draw(rng) for _ in range(count)]


# --- who advises -----------------------------------------------------------------------------------------

Pulled = Sequence[tuple[int, float]]  # mark and seconds, in the order pulled
Rule = Callable[[Pulled, Unit], int]


def one_step(pulled: Pulled, unit: Unit) -> int:
    """One mark towards the target."""
    mark, seconds = pulled[-1]
    return _on(unit, mark + _way(seconds))


def halving(first: float) -> Rule:
    """A step of so many marks of sixteen towards the target, halved each time it overshoots."""

    def rule(pulled: Pulled, unit: Unit) -> int:
        step = max(first * (unit.marks - 1) / (MARKS - 1), 1.0)
        ways = [_way(seconds) for _, seconds in pulled]
        for here, there in pairwise(ways):
            step = max(step / 2, 1.0) if here != there else step
        return _on(unit, pulled[-1][0] + ways[-1] * round(step))

    return rule


def two_points(first: float) -> Rule:
    """A first step of so many marks of sixteen, then the log line through the last two marks pulled."""

    def rule(pulled: Pulled, unit: Unit) -> int:
        here, seconds = pulled[-1]
        other = next(((mark, s) for mark, s in reversed(pulled) if mark != here), None)
        slope = 0.0 if other is None else (log(seconds) - log(other[1])) / (here - other[0])
        if other is None or slope >= 0:
            far = first if other is None else 1.0
            return _on(unit, here + _way(seconds) * max(round(far * (unit.marks - 1) / (MARKS - 1)), 1))
        aimed = _on(unit, here + (MIDDLE - log(seconds)) / slope)
        return aimed if aimed != here else _on(unit, here + _way(seconds))

    return rule


def ours(prior: Prior | None = None) -> Rule:
    """The assistant of this product."""

    def rule(pulled: Pulled, unit: Unit) -> int:
        return int(next_to_try(fit(_shots(pulled), TARGET, _scale(unit), prior)).setting)

    return rule


def knows_the_unit(pulled: Pulled, unit: Unit) -> int:
    """An oracle that knows slope and curvature, and finds the place from the mean of what was pulled."""
    tried = [unit.right + off / 20 for off in range(-240, 241)]

    def misfit(right: float) -> float:
        moved = replace(unit, right=right)
        return sum((moved.ln_s(mark) - log(seconds)) ** 2 for mark, seconds in pulled)

    found = replace(unit, right=min(tried, key=misfit))
    return min(range(1, unit.marks + 1), key=lambda mark: abs(found.ln_s(mark) - MIDDLE))


def _way(seconds: float) -> int:
    return 1 if seconds > 30 else -1


def _on(unit: Unit, mark: float) -> int:
    return min(max(round(mark), 1), unit.marks)


def _scale(unit: Unit) -> Scale:
    return Scale(ScaleKind.STEPS, Decimal(1), Decimal(unit.marks), Decimal(1), "LOWER")


def _shots(pulled: Pulled) -> list[Shot]:
    return [Shot(Decimal(mark), Decimal(18), Decimal(36), Decimal(str(seconds))) for mark, seconds in pulled]


# --- replaying -------------------------------------------------------------------------------------------


def shots_needed(unit: Unit, rule: Rule) -> int:
    """How many shots until one lands inside; one more than are allowed where none does."""
    pulled: list[tuple[int, float]] = []
    mark, before = unit.start, None
    for at in range(SHOTS):
        seconds = unit.pull(at, mark, before)
        if 20 <= seconds <= 30:
            return at + 1
        pulled.append((mark, seconds))
        before = mark
        if at + 1 < SHOTS:
            mark = rule(pulled, unit)
    return SHOTS + 1


def within(units: Sequence[Unit], rule: Rule) -> tuple[float, ...]:
    """The share of units inside within 1, 2 and 3 shots, per cent."""
    needed = [shots_needed(unit, rule) for unit in units]
    return tuple(100 * sum(n <= allowed for n in needed) / len(units) for allowed in range(1, SHOTS + 1))


def taught(world: World, count: int = 20) -> Prior:
    """What so many earlier units teach, each dialled in by the advice without any before it."""
    units = world.units(count, SEED_EARLIER)
    known = [earlier for earlier in (_worked(unit) for unit in units) if earlier is not None]
    return prior_from(known, TARGET, _scale(units[0]))


def _worked(unit: Unit) -> EarlierUnit | None:
    """Dial one unit in until two shots agree; None where eight shots do not do."""
    pulled: list[tuple[int, float]] = []
    mark = unit.start
    for at in range(MOST):
        pulled.append((mark, unit.pull(at, mark, pulled[-1][0] if pulled and pulled[-1][0] != mark else None)))
        shots = _shots(pulled)
        if recipe_pair(shots, TARGET):
            return EarlierUnit(shots[-1].setting, tuple(shots))
        mark = ours()(pulled, unit)
    return None


def covered(units: Sequence[Unit], prior: Prior | None, level: float) -> float:
    """The share of shots 2, 3 and 4 of the advice that lie inside the band told before they were pulled, per cent."""
    inside = told = 0
    for unit in units:
        pulled = [(unit.start, unit.pull(0, unit.start, None))]
        for at in range(1, 4):
            fitted = fit(_shots(pulled), TARGET, _scale(unit), prior)
            mark = int(next_to_try(fitted).setting)
            seconds = unit.pull(at, mark, pulled[-1][0] if pulled[-1][0] != mark else None)
            inside += _holds(fitted, Decimal(mark), seconds, level)
            told += 1
            pulled.append((mark, seconds))
    return 100 * inside / told


def _holds(fitted: Fit, setting: Decimal, seconds: float, level: float) -> bool:
    return abs(fitted.expect_ln(setting).cdf(log(seconds)) - 0.5) <= level / 2


# --- published series ------------------------------------------------------------------------------------

DIAL = Scale(ScaleKind.STEPS, Decimal(0), Decimal(11), Decimal("0.1"), "LOWER")
GAP = Scale(ScaleKind.STEPS, Decimal(100), Decimal(350), Decimal(1), "LOWER")
CLASSES = Scale(ScaleKind.STEPS, Decimal(1), Decimal(5), Decimal(1), "LOWER")
CAMERON = (DIAL, {"1.1": 37.6, "1.3": 35.7, "1.5": 33.9, "1.7": 30.5, "1.9": 28.5, "2.1": 26.6, "2.3": 24.0})
SMRKE = (GAP, {"250": 8.8, "210": 19.0, "190": 25.2, "180": 44.9, "170": 57.3, "160": 66.2})
SMRKE_1_G = (GAP, {"250": 12.0, "210": 24.1, "190": 37.7})
SMRKE_2_G = (GAP, {"250": 17.5, "210": 32.9, "190": 56.5})
SMRKE_4_G = (GAP, {"250": 32.0, "210": 58.5, "190": 79.6})
EGIDI = (CLASSES, {"2": 39.0, "3": 26.0, "4": 18.0})  # classes of grind, taken as equal steps
PERTICARINI = (CLASSES, {"1": 74.0, "2": 42.0, "3": 25.0, "4": 19.0, "5": 15.0})
PUBLISHED = (CAMERON, SMRKE, SMRKE_1_G, SMRKE_2_G, SMRKE_4_G, EGIDI, PERTICARINI)


def held_out(level: float) -> tuple[int, int]:
    """Of the published shots, each foretold from the others of its series: how many lie in the band, of how many."""
    inside = told = 0
    for scale, series in PUBLISHED:
        for left_out, seconds in series.items():
            others = [(setting, s) for setting, s in series.items() if setting != left_out]
            shots = [Shot(Decimal(setting), Decimal(18), Decimal(36), Decimal(str(s))) for setting, s in others]
            inside += _holds(fit(shots, TARGET, scale), Decimal(left_out), seconds, level)
            told += 1
    return inside, told


@dataclass(frozen=True, slots=True)
class Series(Unit):
    """A published series as a unit without noise, straight in ln seconds between its marks; marks are its own."""

    times: tuple[float, ...] = ()
    span: float = 0.0  # of the whole scale, in these marks: the belief beforehand is about that

    def ln_s(self, mark: float) -> float:
        """The published ln seconds of a mark."""
        return log(self.times[int(mark) - 1])


def replayed() -> list[Series]:
    """Table S3 and figure 7, from every mark that lies outside the target time: a mark is 0.1 and 10 micrometres."""
    found = []
    for (scale, series), step in ((CAMERON, Decimal("0.1")), (SMRKE, Decimal(10))):
        known = {Decimal(setting): log(seconds) for setting, seconds in series.items()}
        count = int((max(known) - min(known)) / step) + 1
        times = tuple(exp(_between(known, min(known) + at * step)) for at in range(count))
        outside = [start for start, seconds in enumerate(times, 1) if not 20 <= seconds <= 30]
        flat, span = (0.0,) * MOST, float(scale.span / step)
        found += [Series(count, 0, 0, 0, start, flat, flat, times, span) for start in outside]
    return found


def ours_on_series(pulled: Pulled, unit: Unit) -> int:
    """The assistant, believing beforehand what it believes of the whole dial the series is a part of."""
    span = unit.span if isinstance(unit, Series) else float(unit.marks - 1)
    whole = Scale(ScaleKind.STEPS, Decimal(0), Decimal(str(span)), Decimal(1), "LOWER")
    return _on(unit, int(next_to_try(fit(_shots(pulled), TARGET, whole)).setting))


def _between(known: dict[Decimal, float], setting: Decimal) -> float:
    low, high = max(k for k in known if k <= setting), min(k for k in known if k >= setting)
    share = 0.0 if low == high else float((setting - low) / (high - low))
    return (1 - share) * known[low] + share * known[high]


# --- the tables ------------------------------------------------------------------------------------------

SIMPLE: dict[str, Rule] = {"one mark at a time": one_step}
SIMPLE |= {f"{first} marks, halved on overshoot": halving(first) for first in (2, 3, 4)}
SIMPLE |= {f"two-point log line, {first} first": two_points(first) for first in (1, 2, 3, 4, 5)}
# The three as a person would use them; every other first step is chosen in hindsight.
PLAIN = ("one mark at a time", "2 marks, halved on overshoot", "two-point log line, 1 first")


def _print(name: str, shares: Sequence[float]) -> None:
    print(f"| {name} | " + " | ".join(f"{share:.1f}" for share in shares) + " |", flush=True)


def _main_table(count: int) -> None:
    units = World().units(count)
    print(f"\n{count} units, seed {SEED}: inside within 1, 2, 3 shots, per cent")
    for name, rule in SIMPLE.items():
        _print(name, within(units, rule))
    _print("our advice, no earlier units", within(units, ours()))
    _print("our advice, after 20 units", within(units, ours(taught(World()))))
    _print("oracle: knows slope and curvature", within(units, knows_the_unit))


def _other_worlds(count: int) -> None:
    worlds = {
        "40 marks": World(marks=40),
        "9 marks": World(marks=9),
        "old grounds in the first shot": World(mixed=True),
        "one shot in ten channels": World(wild=0.1),
    }
    print(f"\n{count} units each, within 2 and 3 shots: best simple rule, the same with a first step of hindsight,")
    print("ours without and with 20, oracle")
    for name, world in worlds.items():
        units = world.units(count)
        shares = {rule_name: within(units, rule)[1:] for rule_name, rule in SIMPLE.items()}
        plain = map(max, *(shares[rule_name] for rule_name in PLAIN))
        advised = (ours(), ours(taught(world)), knows_the_unit)
        _print(name, [*plain, *map(max, *shares.values()), *(s for rule in advised for s in within(units, rule)[1:])])


def _bands(count: int) -> None:
    units, prior = World().units(count, SEED + 1), taught(World())
    print(f"\nbands, per cent of shots inside: {count} units (seed {SEED + 1}), shots 2 to 4; published, each left out")
    for level in (0.8, 0.9):
        inside, told = held_out(level)
        simulated = covered(units, None, level), covered(units, prior, level)
        print(f"| {level:.0%} | {simulated[0]:.1f} | {simulated[1]:.1f} | {inside} of {told} |", flush=True)


def _published() -> None:
    units = replayed()
    print(f"\npublished series replayed from {len(units)} starts: within 1, 2, 3 shots, per cent")
    for name, rule in {**SIMPLE, "our advice, no earlier units": ours_on_series}.items():
        _print(name, within(units, rule))


def _alone(count: int, seed: int) -> None:
    for name, world in (("as fixed", World()), ("one shot in ten channels", World(wild=0.1))):
        units = world.units(count, seed)
        print(f"\n{count} units, seed {seed}, {name}: inside within 1, 2, 3 shots, per cent")
        for rule_name, rule in {**SIMPLE, "our advice, no earlier units": ours()}.items():
            _print(rule_name, within(units, rule))


if __name__ == "__main__":
    asked = int(sys.argv[1]) if len(sys.argv) > 1 else UNITS
    if len(sys.argv) > 2:
        _alone(asked, int(sys.argv[2]))
        sys.exit()
    _main_table(asked)
    _other_worlds(min(asked, 1_000))
    _bands(min(asked, 300))
    _published()
