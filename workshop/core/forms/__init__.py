"""Form pieces every room shares."""

from workshop.core.forms.base import ActForm, AskingForm, VersionedForm, new_key
from workshop.core.forms.numbers import MeasureField, MoneyField

__all__ = ["ActForm", "AskingForm", "MeasureField", "MoneyField", "VersionedForm", "new_key"]
