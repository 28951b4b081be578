"""Forms of intake: they turn what was typed into values and save nothing."""

from intake.forms.arrival import FindingForm, LoosePartForm, NothingForm
from intake.forms.log import MachineLogForm
from intake.forms.lot import LotForm, LotPriceForm
from intake.forms.photos import FacesForm, PhotoForm, PinForm
from intake.forms.purchase import PurchaseForm, RecallForm, SaidForm, SerialForm
from intake.forms.seller import SellerRecordForm
from intake.forms.walk import FaceForm, MarkForm

__all__ = [
    "FaceForm",
    "FacesForm",
    "FindingForm",
    "LoosePartForm",
    "LotForm",
    "LotPriceForm",
    "MachineLogForm",
    "MarkForm",
    "NothingForm",
    "PhotoForm",
    "PinForm",
    "PurchaseForm",
    "RecallForm",
    "SaidForm",
    "SellerRecordForm",
    "SerialForm",
]
