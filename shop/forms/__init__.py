from shop.forms.listing import ListingForm
from shop.forms.money import ClearanceForm, CostForm, PriceForm, PurchaseForm
from shop.forms.people import PersonForm
from shop.forms.profile import ProfileForm
from shop.forms.promises import HoldForm, PaymentForm, SaleForm
from shop.forms.trials import ExchangeForm, KeepForm, ReturnForm, StartTrialForm, TrialForm

__all__ = [
    "ClearanceForm",
    "CostForm",
    "ExchangeForm",
    "HoldForm",
    "KeepForm",
    "ListingForm",
    "PaymentForm",
    "PersonForm",
    "PriceForm",
    "ProfileForm",
    "PurchaseForm",
    "ReturnForm",
    "SaleForm",
    "StartTrialForm",
    "TrialForm",
]
