"""Form pieces every room shares."""

from workshop.core.forms.base import ActForm, MeasureField, MoneyField, VersionedForm, new_key

__all__ = ["ActForm", "MeasureField", "MoneyField", "VersionedForm", "new_key"]
