"""The ruler of a limit: its ends are numbers people read, and water's scale ends where it boils."""

from decimal import Decimal

import pytest

from workshop.bench.limits import BenchLimit
from workshop.bench.ruler import ruler


def ends(low: str | None, high: str | None, unit: str = "") -> list[str]:
    limit = BenchLimit(Decimal(low) if low else None, Decimal(high) if high else None, "", "", "", "")
    drawn = ruler(limit, outside="outside", unit=unit)
    assert drawn is not None
    labels = [tick.label for tick in drawn.ticks if tick.label]
    return [labels[0], labels[-1]]


@pytest.mark.parametrize(
    ("low", "high", "unit", "ends_at"),
    [
        ("38.4", "57.6", "W", ["20", "70"]),
        ("88", "96.1", "°C", ["83", "100"]),
        ("85", None, "°C", ["60", "100"]),
        ("8.5", "12", "bar", ["6", "15"]),
        ("1330", "1470", "W", ["1,240", "1,560"]),
        ("59", None, "ml", ["0", "200"]),
        (None, "0.1", "ohm", ["0", "0.2"]),
    ],
)
def test_a_scale_ends_on_its_own_step(low: str | None, high: str | None, unit: str, ends_at: list[str]) -> None:
    assert ends(low, high, unit) == ends_at


def test_a_limit_over_what_boils_keeps_its_room() -> None:
    assert ends("90", "110", "°C") == ["70", "130"]
