"""Refusals shared by the water room, each a sentence fit for a form."""

from decimal import Decimal


def must_be_number(value: Decimal, name: str) -> None:
    """Raise ValueError unless `value` is a finite number of nought or more."""
    if not value.is_finite():
        raise ValueError(f"The {name} must be a number.")
    if value < 0:
        raise ValueError(f"The {name} cannot be below nought.")


def must_be_positive(value: Decimal, name: str) -> None:
    """Raise ValueError unless `value` is a finite number above nought."""
    must_be_number(value, name)
    if value == 0:
        raise ValueError(f"The {name} must be above nought.")


def must_lie_between(value: Decimal, low: Decimal, high: Decimal, name: str) -> None:
    """Raise ValueError unless `low` <= `value` <= `high`."""
    if not value.is_finite() or not low <= value <= high:
        raise ValueError(f"The {name} must lie between {low} and {high}.")
