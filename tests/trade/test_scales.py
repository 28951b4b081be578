"""Scales: a setting is read, said, ordered and stepped in the grinder's own marks."""

from contextlib import suppress
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.trade.scales import (
    Scale,
    ScaleKind,
    fineness,
    is_finer,
    next_coarser,
    next_finer,
    parse,
    say,
    snap,
    travel,
)

D = Decimal
CLOCK_HELP = 'write it like a clock, "half past 2" or "2:30".'
STEPS = Scale(ScaleKind.STEPS, D(1), D(16), D(1), "LOWER")
HALVES = Scale(ScaleKind.STEPS, D(0), D(10), D("0.5"), "HIGHER")
DOSE_DIAL = Scale(ScaleKind.CLOCK, D(7), D(5), D("0.25"), None)  # seven, over twelve, to five
RING = Scale(ScaleKind.CLOCK, D(0), D("11.5"), D("0.5"), "HIGHER")
GRAMS = Scale(ScaleKind.GRAMS, D(5), D(25), D("0.1"), None)
SECONDS = Scale(ScaleKind.SECONDS, D(0), D(20), D("0.1"), None)
GAUGE = Scale(ScaleKind.BAR, D(0), D(16), D("0.5"), None)
EVERY = [STEPS, HALVES, DOSE_DIAL, RING, GRAMS, SECONDS, GAUGE]


@pytest.mark.parametrize(
    ("scale", "text", "value"),
    [
        (STEPS, "12", "12"),
        (STEPS, " 7 ", "7"),
        (STEPS, "7.0", "7"),
        (HALVES, "7,5", "7.5"),
        (HALVES, ".5", "0.5"),
        (GRAMS, "17.5", "17.5"),
        (GRAMS, "17,5 g", "17.5"),
        (GRAMS, "17.5g", "17.5"),
        (SECONDS, "6.2 seconds", "6.2"),
        (GAUGE, "9 Bar", "9"),
    ],
)
def test_a_number_is_read_with_comma_or_dot_and_its_own_unit(scale: Scale, text: str, value: str) -> None:
    assert parse(scale, text) == D(value)


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("half past two", "2.5"),
        ("Half past 2", "2.5"),
        ("2:30", "2.5"),
        ("quarter to 3", "2.75"),
        ("a quarter past three", "3.25"),
        ("30 past 2", "2.5"),
        ("15 minutes to one", "0.75"),
        ("3", "3"),
        ("three o'clock", "3"),
        ("3 o’clock", "3"),
        ("12", "0"),
        ("twelve", "0"),
        ("0:15", "0.25"),
        ("12:45", "0.75"),
        ("quarter to twelve", "11.75"),
        ("quarter to 12", "11.75"),
    ],
)
def test_a_dial_is_read_like_a_clock_face(text: str, hours: str) -> None:
    assert parse(DOSE_DIAL, text) == D(hours)


@pytest.mark.parametrize(
    ("scale", "text", "sentence"),
    [
        (STEPS, "", "Nothing was written; write a setting from 1 to 16."),
        (STEPS, "seven", '"seven" is not a number; write one like 1.'),
        (STEPS, "1e1", '"1e1" is not a number; write one like 1.'),
        (STEPS, "nan", '"nan" is not a number; write one like 1.'),
        (STEPS, "1.234,5", '"1.234,5" is not a number; write one like 1.'),
        (STEPS, "٣", '"٣" is not a number; write one like 1.'),
        (STEPS, "0", "0 is off this scale; write a setting from 1 to 16."),
        (STEPS, "-3", "-3 is off this scale; write a setting from 1 to 16."),
        (STEPS, "17", "17 is off this scale; write a setting from 1 to 16."),
        (STEPS, "7.5", "7.5 lies between two marks of this scale; write 7 or 8."),
        (STEPS, "7 g", 'This scale is in steps, not "g"; write one like 1.'),
        (GRAMS, "7 bar", 'This scale is in grams, not "bar"; write one like 5 g.'),
        (GRAMS, "17.55", "17.55 g lies between two marks of this scale; write 17.5 g or 17.6 g."),
        (STEPS, "9" * 41, "That is too long for a setting; write one from 1 to 16."),
        (DOSE_DIAL, "14:30", "A dial has twelve hours and 14 is not one of them; write 1 to 12."),
        (
            DOSE_DIAL,
            "2:60",
            '"60" is not minutes from 0 to 59; write it like a clock, "half past 2" or "2:30".',
        ),
        (DOSE_DIAL, "2.5", '"2.5" is not an hour on a dial; ' + CLOCK_HELP),
        (
            DOSE_DIAL,
            "half two",
            '"half two" is not an hour on a dial; write it like a clock, "half past 2" or "2:30".',
        ),
        (DOSE_DIAL, "half to 3", 'Nobody reads "half to"; write "half past" the hour before, or 2:30.'),
        (DOSE_DIAL, "6", "6 o'clock is off this scale; write a setting from 7 o'clock to 5 o'clock."),
        (DOSE_DIAL, "2:10", "2:10 lies between two marks of this scale; write 2 o'clock or quarter past 2."),
    ],
)
def test_a_wrong_entry_is_answered_with_what_is_wrong_and_how_to_mend_it(
    scale: Scale, text: str, sentence: str
) -> None:
    with pytest.raises(ValueError, match=r"\.$") as refusal:
        parse(scale, text)
    assert str(refusal.value) == sentence


@pytest.mark.parametrize(
    ("scale", "value", "words"),
    [
        (STEPS, "12", "12"),
        (STEPS, "12.00", "12"),
        (HALVES, "12.50", "12.5"),
        (STEPS, "100", "100"),
        (STEPS, "-0", "0"),
        (GRAMS, "17.5", "17.5 g"),
        (GRAMS, "18.0", "18 g"),
        (SECONDS, "6.2", "6.2 s"),
        (GAUGE, "9", "9 bar"),
        (RING, "2.5", "half past 2"),
        (RING, "2.75", "quarter to 3"),
        (RING, "2.25", "quarter past 2"),
        (RING, "11.75", "quarter to 12"),
        (RING, "0.5", "half past 12"),
        (RING, "0", "12 o'clock"),
        (RING, "2.1", "2:06"),
        (RING, "12.75", "quarter to 1"),
    ],
)
def test_a_value_is_said_in_the_words_of_its_scale(scale: Scale, value: str, words: str) -> None:
    assert say(scale, D(value)) == words


def test_finer_follows_the_model_notes() -> None:
    assert is_finer(STEPS, D(5), D(8))
    assert not is_finer(STEPS, D(8), D(5))
    assert not is_finer(STEPS, D(5), D(5))
    assert is_finer(HALVES, D(8), D(5))
    assert (fineness(STEPS, D(16)), fineness(STEPS, D(1))) == (0, 15)
    assert (fineness(HALVES, D(0)), fineness(HALVES, D(10))) == (0, 10)


def test_on_a_dial_that_runs_past_twelve_order_follows_the_travel() -> None:
    dial = replace(DOSE_DIAL, finer="HIGHER")
    assert travel(dial, D(7)) == 0
    assert travel(dial, D(1)) == 6
    assert dial.span == 10
    assert is_finer(dial, D(1), D(11))
    assert next_finer(dial, D("11.75")) == 0
    assert next_coarser(dial, D(0)) == D("11.75")
    assert next_finer(dial, D(5)) is None
    assert next_coarser(dial, D(7)) is None


def test_stepping_stops_at_the_ends_and_never_jumps_a_mark() -> None:
    assert (next_finer(STEPS, D(7)), next_coarser(STEPS, D(7))) == (D(6), D(8))
    assert (next_finer(STEPS, D("7.4")), next_coarser(STEPS, D("7.4"))) == (D(7), D(8))
    assert (next_finer(STEPS, D(1)), next_coarser(STEPS, D(16))) == (None, None)


@pytest.mark.parametrize(
    ("scale", "value", "mark"),
    [
        (STEPS, "7.4", "7"),
        (STEPS, "7.5", "8"),
        (STEPS, "-2", "1"),
        (STEPS, "99", "16"),
        (GRAMS, "17.55", "17.6"),
        (DOSE_DIAL, "2.4", "2.5"),
        (DOSE_DIAL, "5.3", "5"),  # in the gap below the dial, nearer the high end
        (DOSE_DIAL, "6.9", "7"),
    ],
)
def test_snapping_takes_the_nearest_mark_and_stays_on_the_scale(scale: Scale, value: str, mark: str) -> None:
    assert snap(scale, D(value)) == D(mark)


@pytest.mark.parametrize("ask", [next_finer, next_coarser])
def test_a_dose_dial_has_no_finer_side(ask: object) -> None:
    assert callable(ask)
    with pytest.raises(ValueError, match="no finer side"):
        ask(DOSE_DIAL, D(8))
    with pytest.raises(ValueError, match="no finer side"):
        is_finer(DOSE_DIAL, D(8), D(9))


@pytest.mark.parametrize(
    ("low", "high", "step", "kind"),
    [
        ("5", "5", "1", ScaleKind.STEPS),
        ("8", "5", "1", ScaleKind.STEPS),
        ("1", "5", "0", ScaleKind.STEPS),
        ("1", "Infinity", "1", ScaleKind.STEPS),
        ("1", "12", "1", ScaleKind.CLOCK),
        ("3", "3", "1", ScaleKind.CLOCK),
    ],
)
def test_a_scale_that_cannot_be_read_is_refused(low: str, high: str, step: str, kind: ScaleKind) -> None:
    with pytest.raises(ValueError, match=r"scale|dial"):
        Scale(kind, D(low), D(high), D(step), "LOWER")


def test_a_mark_off_the_scale_is_refused() -> None:
    assert STEPS.marks == 16
    with pytest.raises(ValueError, match="from 0 to 15"):
        STEPS.mark(16)


@given(st.sampled_from(EVERY), st.data())
def test_what_is_said_reads_back_as_the_same_mark(scale: Scale, data: st.DataObject) -> None:
    mark = scale.mark(data.draw(st.integers(0, scale.marks - 1)))
    assert parse(scale, say(scale, mark)) == mark
    assert snap(scale, mark) == mark


@given(st.sampled_from(EVERY), st.text(max_size=60))
def test_any_typing_gives_a_mark_or_one_plain_sentence(scale: Scale, text: str) -> None:
    with suppress(ValueError):
        value = parse(scale, text)
        assert snap(scale, value) == value
        return
    with pytest.raises(ValueError, match=r"^.{20,160}\.$"):
        parse(scale, text)


@given(st.sampled_from([STEPS, HALVES, RING]), st.data())
def test_stepping_finer_then_coarser_comes_home(scale: Scale, data: st.DataObject) -> None:
    mark = scale.mark(data.draw(st.integers(0, scale.marks - 1)))
    finer = next_finer(scale, mark)
    if finer is not None:
        assert is_finer(scale, finer, mark)
        assert next_coarser(scale, finer) == mark
