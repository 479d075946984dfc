from shop.forms.clearance import ClearanceForm
from shop.forms.credit_terms import CreditTermsForm
from shop.forms.holds import EndHoldForm, GiveBackLaterForm, HoldForm
from shop.forms.listing import ListingForm
from shop.forms.money import CostForm, EstimateForm, PriceForm, PurchaseForm
from shop.forms.people import PersonForm
from shop.forms.profile import ProfileForm
from shop.forms.promises import (
    CreditForm,
    ExtendHoldForm,
    PaymentForm,
    PaymentInForm,
    ReleaseForm,
    SaleForm,
    WaitingForm,
)
from shop.forms.trial_money import DeductionForm, ExchangeForm, FeeForm, KeepForm, ReturnForm, TakeBackForm
from shop.forms.trials import SignedPaperForm, StartTrialForm, TrialForm

__all__ = [
    "ClearanceForm",
    "CostForm",
    "CreditForm",
    "CreditTermsForm",
    "DeductionForm",
    "EndHoldForm",
    "EstimateForm",
    "ExchangeForm",
    "ExtendHoldForm",
    "FeeForm",
    "GiveBackLaterForm",
    "HoldForm",
    "KeepForm",
    "ListingForm",
    "PaymentForm",
    "PaymentInForm",
    "PersonForm",
    "PriceForm",
    "ProfileForm",
    "PurchaseForm",
    "ReleaseForm",
    "ReturnForm",
    "SaleForm",
    "SignedPaperForm",
    "StartTrialForm",
    "TakeBackForm",
    "TrialForm",
    "WaitingForm",
]
