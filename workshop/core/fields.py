"""Measured columns: plain DecimalFields with the digits the trade needs, named by what they hold."""

from enum import StrEnum
from typing import Any

from django.db import models


def decimal(digits: int, places: int, **kwargs: Any) -> "models.DecimalField[Any, Any]":
    """Return an optional decimal column with `digits` in all and `places` after the point."""
    kwargs.setdefault("null", True)
    kwargs.setdefault("blank", kwargs["null"])
    return models.DecimalField(max_digits=digits, decimal_places=places, **kwargs)


def grams(**kwargs: Any) -> "models.DecimalField[Any, Any]":
    """Return a column of grams to a hundredth, up to 99,999.99."""
    return decimal(7, 2, **kwargs)


def seconds(**kwargs: Any) -> "models.DecimalField[Any, Any]":
    """Return a column of seconds to a tenth."""
    return decimal(6, 1, **kwargs)


def litres(**kwargs: Any) -> "models.DecimalField[Any, Any]":
    """Return a column of litres to a millilitre."""
    return decimal(7, 3, **kwargs)


def reading(**kwargs: Any) -> "models.DecimalField[Any, Any]":
    """Return a column for any measured value: four places, eight before the point."""
    return decimal(12, 4, **kwargs)


def money(**kwargs: Any) -> "models.BigIntegerField[Any, Any]":
    """Return a column of whole minor units (pence, cents) of the shop's currency."""
    kwargs.setdefault("null", True)
    kwargs.setdefault("blank", kwargs["null"])
    return models.BigIntegerField(**kwargs)


def word(words: "type[StrEnum] | type[models.TextChoices]", **kwargs: Any) -> "models.CharField[Any, Any]":
    """Return a choice column whose choices come from an enum with `.label`; pair it with `one_of`."""
    choices = [(str(member.value), getattr(member, "label", str(member.value))) for member in words]
    return models.CharField(max_length=24, choices=choices, **kwargs)
