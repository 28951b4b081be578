"""Form pieces every room shares."""

from workshop.core.forms.base import ActForm, MeasureField, MoneyField, PlaceAsked, VersionedForm, new_key

__all__ = ["ActForm", "MeasureField", "MoneyField", "PlaceAsked", "VersionedForm", "new_key"]
