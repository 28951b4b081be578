"""Tempo, mains-side words, and which items may go: house policy, held at both sides of each figure."""

from datetime import UTC, datetime, timedelta

import pytest

from workshop.trade.safety.discipline import hurried, mains_side, offered_for_removal

NOON = datetime(2026, 5, 12, 12, 0, tzinfo=UTC)


def at(*seconds: float) -> list[datetime]:
    return [NOON + timedelta(seconds=each) for each in seconds]


@pytest.mark.parametrize(
    ("seconds", "runs"),
    [
        ((), []),
        ((0, 1), []),  # two are never a run
        ((0, 3, 6), [(0, 2)]),  # the figure itself still counts as hurried
        ((0, 3, 6.1), []),
        ((0, 30, 60, 90), []),
        ((0, 2, 4, 6, 8), [(0, 4)]),  # one run, though the five together took longer than six seconds
        ((0, 1, 2, 60, 61, 62), [(0, 2), (3, 5)]),
        ((0, 60, 61, 62, 120), [(1, 3)]),
    ],
)
def test_three_answers_within_six_seconds_are_a_run(seconds: tuple[float, ...], runs: list[tuple[int, int]]) -> None:
    assert hurried(at(*seconds)) == runs


@pytest.mark.parametrize(
    "words",
    [
        "Rewired the switch",
        "New heating element in the boiler",
        "Earth tag cleaned",
        "New cord and plug",
        "fuse blown",
        "controls dried out",
        "thermostat",
        "Cut-out replaced",
        "electronics looked at",
    ],
)
def test_work_on_the_mains_side_is_known_by_its_words(words: str) -> None:
    assert mains_side(words)


@pytest.mark.parametrize(
    "words", ["New group seal", "Polished the tray", "Recorded the serial", "unplugged it", "pump hums", "New gasket"]
)
def test_other_work_is_not(words: str) -> None:
    assert not mains_side(words)


@pytest.mark.parametrize(
    ("stop", "asked", "catches", "misses", "offered"),
    [
        (False, 50, 0, 0, True),
        (False, 49, 0, 0, False),
        (False, 500, 1, 0, False),
        (False, 500, 0, 1, False),
        (True, 500, 0, 0, False),
    ],
)
def test_an_item_goes_only_after_fifty_units_that_showed_nothing(
    stop: bool, asked: int, catches: int, misses: int, offered: bool
) -> None:
    assert offered_for_removal(stop=stop, asked=asked, catches=catches, misses=misses) is offered
