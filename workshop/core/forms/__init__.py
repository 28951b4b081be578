"""Form pieces every room shares."""

from workshop.core.forms.base import ActForm, VersionedForm, new_key
from workshop.core.forms.numbers import MeasureField, MoneyField

__all__ = ["ActForm", "MeasureField", "MoneyField", "VersionedForm", "new_key"]
