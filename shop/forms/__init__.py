from shop.forms.clearance import ClearanceForm
from shop.forms.listing import ListingForm
from shop.forms.money import CostForm, EstimateForm, PriceForm, PurchaseForm
from shop.forms.people import PersonForm
from shop.forms.profile import ProfileForm
from shop.forms.promises import (
    CreditForm,
    ExtendHoldForm,
    HoldForm,
    PaymentForm,
    ReleaseForm,
    SaleForm,
    WaitingForm,
)
from shop.forms.trials import ExchangeForm, KeepForm, ReturnForm, SignedPaperForm, StartTrialForm, TrialForm

__all__ = [
    "ClearanceForm",
    "CostForm",
    "CreditForm",
    "EstimateForm",
    "ExchangeForm",
    "ExtendHoldForm",
    "HoldForm",
    "KeepForm",
    "ListingForm",
    "PaymentForm",
    "PersonForm",
    "PriceForm",
    "ProfileForm",
    "PurchaseForm",
    "ReleaseForm",
    "ReturnForm",
    "SaleForm",
    "SignedPaperForm",
    "StartTrialForm",
    "TrialForm",
    "WaitingForm",
]
