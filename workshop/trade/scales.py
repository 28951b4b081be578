"""The numbered side of a grinder, dose dial or gauge: how a setting is read, said, ordered and stepped.

A scale is numbered steps, a bare dial read like a clock face, grams, seconds or bar. A clock reading is kept
as hours, 0 <= h < 12 (12 o'clock is 0), and a dial may run past twelve ("7 to 5 o'clock"), so order on a
scale is always `travel`: how far a value lies from the low end. Values are Decimal in the scale's own unit.
"""

import re
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal
from enum import StrEnum
from typing import Literal

HOURS_ON_A_DIAL = Decimal(12)
MINUTES_IN_AN_HOUR = Decimal(60)
LONGEST_ENTRY = 40  # characters; anything longer is not a setting


class ScaleKind(StrEnum):
    """What the marks on the scale stand for."""

    STEPS = "steps"
    CLOCK = "clock"
    GRAMS = "grams"
    SECONDS = "seconds"
    BAR = "bar"

    @property
    def label(self) -> str:
        """What a form calls it."""
        return _LABELS[self]


_LABELS = {
    ScaleKind.STEPS: "Numbered steps",
    ScaleKind.CLOCK: "A bare dial, read like a clock face",
    ScaleKind.GRAMS: "Grams",
    ScaleKind.SECONDS: "Seconds",
    ScaleKind.BAR: "Bar",
}

UNITS = {ScaleKind.GRAMS: "g", ScaleKind.SECONDS: "s", ScaleKind.BAR: "bar"}


@dataclass(frozen=True, slots=True)
class Scale:
    """One scale: its kind, its two ends, the distance between marks, and which way grinds finer.

    `finer` is None where the scale has no finer side (a dose dial, a gauge). On a clock HIGHER means
    clockwise. Raises ValueError for a scale that cannot be read.
    """

    kind: ScaleKind
    low: Decimal
    high: Decimal
    step: Decimal
    finer: Literal["LOWER", "HIGHER"] | None

    def __post_init__(self) -> None:
        if not all(number.is_finite() for number in (self.low, self.high, self.step)):
            raise ValueError("The ends and the step of a scale must be plain numbers.")
        if self.step <= 0:
            raise ValueError("The step of a scale must be more than nothing.")
        if self.kind is ScaleKind.CLOCK:
            if not all(0 <= end < HOURS_ON_A_DIAL for end in (self.low, self.high)):
                raise ValueError("Both ends of a dial are hours from 0 to below 12; write 12 o'clock as 0.")
            if self.low == self.high:
                raise ValueError("The two ends of a dial must differ.")
        elif self.low >= self.high:
            raise ValueError("The low end of a scale must lie below its high end.")

    @property
    def span(self) -> Decimal:
        """The travel from the low end to the high end, in the scale's unit."""
        return travel(self, self.high)

    @property
    def marks(self) -> int:
        """How many settings the scale has, both ends counted."""
        return int(self.span // self.step) + 1

    def mark(self, place: int) -> Decimal:
        """The value at a mark, counted from 0 at the low end; ValueError off the scale."""
        if not 0 <= place < self.marks:
            raise ValueError(f"This scale has {self.marks} marks, from 0 to {self.marks - 1}.")
        value = self.low + place * self.step
        return value % HOURS_ON_A_DIAL if self.kind is ScaleKind.CLOCK else value


def travel(scale: Scale, value: Decimal) -> Decimal:
    """How far a value lies from the low end, in the scale's unit; clockwise on a dial."""
    distance = value - scale.low
    # Decimal's % takes the sign of what is divided, so a dial that runs past twelve needs one turn added.
    return (distance + HOURS_ON_A_DIAL) % HOURS_ON_A_DIAL if scale.kind is ScaleKind.CLOCK else distance


def parse(scale: Scale, text: str) -> Decimal:
    """Read what a person typed ("17,5", "half past two", "2:30") as a value on a mark of this scale.

    Raises ValueError with a plain sentence that says what is wrong and how to mend it.
    """
    entry = " ".join(text.lower().replace("’", "'").split())
    if not entry:
        raise ValueError(f"Nothing was written; write a setting from {_ends(scale)}.")
    if len(entry) > LONGEST_ENTRY:
        raise ValueError(f"That is too long for a setting; write one from {_ends(scale)}.")
    value = _clock(entry) if scale.kind is ScaleKind.CLOCK else _number(scale, entry)
    return _on_a_mark(scale, value)


def say(scale: Scale, value: Decimal) -> str:
    """A value in the words of its scale: "12", "half past 2", "17.5 g". Raises nothing."""
    if scale.kind is ScaleKind.CLOCK:
        return _say_clock(value)
    unit = UNITS.get(scale.kind)
    return f"{_plain(value)} {unit}" if unit else _plain(value)


def is_finer(scale: Scale, a: Decimal, b: Decimal) -> bool:
    """Whether setting `a` grinds finer than setting `b`; ValueError on a scale without a finer side."""
    ahead = travel(scale, a) - travel(scale, b)
    return _finer_sign(scale) * ahead > 0


def fineness(scale: Scale, value: Decimal) -> Decimal:
    """How far a value lies from the coarsest end; ValueError on a scale without a finer side."""
    distance = travel(scale, value)
    return distance if _finer_sign(scale) > 0 else scale.span - distance


def snap(scale: Scale, value: Decimal) -> Decimal:
    """The mark nearest to a value, a half-way value going up; beyond an end, that end's mark."""
    distance = travel(scale, value)
    if scale.kind is ScaleKind.CLOCK and distance > scale.span:
        past_high, before_low = distance - scale.span, HOURS_ON_A_DIAL - distance
        return scale.mark(scale.marks - 1 if past_high <= before_low else 0)
    place = int((distance / scale.step).to_integral_value(ROUND_HALF_UP))
    return scale.mark(min(max(place, 0), scale.marks - 1))


def next_finer(scale: Scale, value: Decimal) -> Decimal | None:
    """The next mark on the finer side, None at the end; ValueError on a scale without a finer side."""
    return _neighbour(scale, value, _finer_sign(scale))


def next_coarser(scale: Scale, value: Decimal) -> Decimal | None:
    """The next mark on the coarser side, None at the end; ValueError on a scale without a finer side."""
    return _neighbour(scale, value, -_finer_sign(scale))


def _finer_sign(scale: Scale) -> int:
    if scale.finer is None:
        raise ValueError("This scale has no finer side; say in the model notes which way grinds finer.")
    return 1 if scale.finer == "HIGHER" else -1


def _neighbour(scale: Scale, value: Decimal, direction: int) -> Decimal | None:
    # A value between two marks steps to the mark beside it, never over it.
    here = travel(scale, value) / scale.step
    below = int(here.to_integral_value(ROUND_FLOOR))
    between = here != below
    place = below + 1 if direction > 0 else below if between else below - 1
    return scale.mark(place) if 0 <= place < scale.marks else None


def _ends(scale: Scale) -> str:
    return f"{say(scale, scale.low)} to {say(scale, scale.high)}"


def _on_a_mark(scale: Scale, value: Decimal) -> Decimal:
    distance = travel(scale, value)
    if not 0 <= distance <= scale.span:
        raise ValueError(f"{say(scale, value)} is off this scale; write a setting from {_ends(scale)}.")
    place = int(distance // scale.step)
    if distance == place * scale.step:
        return scale.mark(place)
    near = [scale.mark(at) for at in (place, place + 1) if at < scale.marks]
    wording = " or ".join(say(scale, mark) for mark in near)
    raise ValueError(f"{say(scale, value)} lies between two marks of this scale; write {wording}.")


# A whole clock face in quarter hours: how a bare dial or a locked-in handle is told.
CLOCK_FACE = Scale(ScaleKind.CLOCK, Decimal(0), Decimal("11.75"), Decimal("0.25"), None)


# --- numbers ---------------------------------------------------------------------------------------------

NUMBER = re.compile(r"([+\-−]?)([0-9]+(?:[.,][0-9]+)?|[.,][0-9]+) ?([a-z]*)")
UNIT_WORDS = {
    ScaleKind.STEPS: {"", "step", "steps"},
    ScaleKind.GRAMS: {"", "g", "gram", "grams"},
    ScaleKind.SECONDS: {"", "s", "sec", "secs", "second", "seconds"},
    ScaleKind.BAR: {"", "bar", "bars"},
}


def _number(scale: Scale, entry: str) -> Decimal:
    found = NUMBER.fullmatch(entry)
    if found is None:
        raise ValueError(f'"{entry}" is not a number; write one like {say(scale, scale.low)}.')
    sign, digits, unit = found.groups()
    if unit not in UNIT_WORDS[scale.kind]:
        raise ValueError(f'This scale is in {scale.kind}, not "{unit}"; write one like {say(scale, scale.low)}.')
    value = Decimal(digits.replace(",", "."))
    return -value if sign in ("-", "−") else value


def _plain(value: Decimal) -> str:
    text = format(value, "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


# --- the clock face --------------------------------------------------------------------------------------

WORDS = ("twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")
HOUR_WORDS = {word: hour for hour, word in enumerate(WORDS)}
MINUTE_WORDS = {"five": 5, "ten": 10, "quarter": 15, "a quarter": 15, "twenty": 20, "twenty-five": 25}
MINUTE_WORDS |= {"twenty five": 25, "half": 30}
SPOKEN = re.compile(r"(.+?) (past|to) (.+)")
FIGURES = re.compile(r"([0-9]{1,2}):([0-9]{2})")
QUARTERS = {15: "quarter past", 30: "half past"}
CLOCK_HELP = 'write it like a clock, "half past 2" or "2:30"'


def _clock(entry: str) -> Decimal:
    if figures := FIGURES.fullmatch(entry):
        return _hours(_hour(figures[1]), _minutes(figures[2]))
    if spoken := SPOKEN.fullmatch(entry):
        return _spoken(spoken[1], spoken[2], spoken[3])
    return _hours(_hour(entry.removesuffix("o'clock").removesuffix("oclock").strip()), 0)


def _spoken(minutes: str, way: str, hour: str) -> Decimal:
    count = MINUTE_WORDS[minutes] if minutes in MINUTE_WORDS else _minutes(minutes.removesuffix(" minutes"))
    if way == "to" and count == 30:
        raise ValueError('Nobody reads "half to"; write "half past" the hour before, or 2:30.')
    return _hours(_hour(hour), count if way == "past" else -count)


def _hour(text: str) -> int:
    if text in HOUR_WORDS:
        return HOUR_WORDS[text]
    if not re.fullmatch("[0-9]{1,2}", text):
        raise ValueError(f'"{text}" is not an hour on a dial; {CLOCK_HELP}.')
    hour = int(text)
    if hour > HOURS_ON_A_DIAL:
        # "14:30" is left to the person: on a dose dial a 14 is as often grams as afternoon.
        raise ValueError(f"A dial has twelve hours and {hour} is not one of them; write 1 to 12.")
    return hour


def _minutes(text: str) -> int:
    if not re.fullmatch("[0-9]{1,2}", text) or int(text) >= MINUTES_IN_AN_HOUR:
        raise ValueError(f'"{text}" is not minutes from 0 to 59; {CLOCK_HELP}.')
    return int(text)


def _hours(hour: int, minutes: int) -> Decimal:
    return (hour + minutes / MINUTES_IN_AN_HOUR + HOURS_ON_A_DIAL) % HOURS_ON_A_DIAL


def _say_clock(value: Decimal) -> str:
    total = int((value * MINUTES_IN_AN_HOUR).to_integral_value(ROUND_HALF_UP))
    hour, minute = divmod(total, int(MINUTES_IN_AN_HOUR))
    if minute == 0:
        return f"{_face(hour)} o'clock"
    if minute in QUARTERS:
        return f"{QUARTERS[minute]} {_face(hour)}"
    if minute == 45:
        return f"quarter to {_face(hour + 1)}"
    return f"{_face(hour)}:{minute:02d}"


def _face(hour: int) -> int:
    return hour % int(HOURS_ON_A_DIAL) or int(HOURS_ON_A_DIAL)
