from shop.forms.clearance import ClearanceForm
from shop.forms.listing import ListingForm
from shop.forms.money import CostForm, EstimateForm, PriceForm, PurchaseForm
from shop.forms.people import PersonForm
from shop.forms.profile import ProfileForm
from shop.forms.promises import CreditForm, HoldForm, PaymentForm, ReleaseForm, SaleForm
from shop.forms.trials import ExchangeForm, KeepForm, ReturnForm, SignedPaperForm, StartTrialForm, TrialForm

__all__ = [
    "ClearanceForm",
    "CostForm",
    "CreditForm",
    "EstimateForm",
    "ExchangeForm",
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
]
