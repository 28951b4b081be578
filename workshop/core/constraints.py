"""Database constraints every model shares, so that each is written one way."""

from enum import StrEnum
from typing import Any

from django.db import models
from django.db.models import F, Q, Value
from django.db.models.functions import Replace
from django.db.models.lookups import Exact


def one_of(
    field: str, words: type[StrEnum] | type[models.TextChoices], *, blank: bool = False
) -> models.CheckConstraint:
    """Return the CHECK that holds a choice column to its words (choices alone do not bind the database)."""
    values = [str(word.value) for word in words] + ([""] if blank else [])
    return models.CheckConstraint(
        name=f"%(app_label)s_%(class)s_{field}_known",
        condition=Q(**{f"{field}__in": values}),
        violation_error_message=f"{field} must be one of: {', '.join(values)}.",
    )


def paired(name: str) -> models.CheckConstraint:
    """Return the CHECK that `<name>_at` and `<name>_by` are both given or both empty."""
    return models.CheckConstraint(
        name=f"%(app_label)s_%(class)s_{name}_at_and_by",
        condition=Q(**{f"{name}_at__isnull": True, f"{name}_by__isnull": True})
        | Q(**{f"{name}_at__isnull": False, f"{name}_by__isnull": False}),
        violation_error_message=f"{name} needs both a time and a person.",
    )


def at_least(field: str, low: Any) -> models.CheckConstraint:
    """Return the CHECK that a number column is empty or not below `low`."""
    return models.CheckConstraint(
        name=f"%(app_label)s_%(class)s_{field}_at_least",
        condition=Q(**{f"{field}__isnull": True}) | Q(**{f"{field}__gte": low}),
        violation_error_message=f"{field} must be {low} or more.",
    )


def any_of(field: str, words: type[models.TextChoices]) -> models.CheckConstraint:
    """Return the CHECK that a column of several codes, spaces between them, holds codes of `words` only.

    No code may be part of another: each is struck out of the text in turn, and nothing may be left of it.
    """
    left: Any = F(field)
    for code in (*(str(word.value) for word in words), " "):
        left = Replace(left, Value(code), Value(""))
    return models.CheckConstraint(
        name=f"%(app_label)s_%(class)s_{field}_known",
        condition=Exact(left, Value("")),
        violation_error_message=f"{field} must be words of its list.",
    )
