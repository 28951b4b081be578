"""Form pieces every room shares."""

from workshop.core.forms.base import ActForm, AskingForm, PlaceAsked, VersionedForm, new_key
from workshop.core.forms.numbers import MeasureField, MoneyField

__all__ = ["ActForm", "AskingForm", "MeasureField", "MoneyField", "PlaceAsked", "VersionedForm", "new_key"]
