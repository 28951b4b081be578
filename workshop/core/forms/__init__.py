"""Form pieces every room shares."""

from workshop.core.forms.another import ANOTHER, NAMED, ModelAskingForm
from workshop.core.forms.base import ActForm, AskingForm, VersionedForm, new_key
from workshop.core.forms.days import DayField
from workshop.core.forms.numbers import MeasureField, MoneyField

__all__ = [
    "ANOTHER",
    "NAMED",
    "ActForm",
    "AskingForm",
    "DayField",
    "MeasureField",
    "ModelAskingForm",
    "MoneyField",
    "VersionedForm",
    "new_key",
]
