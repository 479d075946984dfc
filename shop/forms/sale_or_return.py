from django import forms

from instruments.forms.fields import DayField, PastDayField
from instruments.forms.identity import IdentityForm
from instruments.states import Place
from shop.forms.people import MailField, PersonChoice, PersonPickMixin, TelephoneField
from shop.states import MONEY_METHODS
from workorders.forms.fields import MoneyField

TERMS = (
    *("share_percent", "net_minor", "least_minor", "begins_on", "until", "payout_days"),
    *("may_be_lent", "terms"),
)


class SaleOrReturnForm(PersonPickMixin, IdentityForm):
    place = forms.ChoiceField(label="Where it is", choices=Place, initial=Place.SHOWROOM)
    person = PersonChoice(label="Owner")
    new_name = forms.CharField(label="Name, if new", max_length=120, required=False)
    new_address = forms.CharField(
        label="Address, if new", max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    new_telephone = TelephoneField(label="Telephone, if new")
    new_email = MailField(label="E-mail, if new")
    share_percent = forms.IntegerField(
        label="Owner’s share of the price", min_value=1, max_value=100, required=False
    )
    net_minor = MoneyField(label="or a fixed sum to the owner", required=False)
    least_minor = MoneyField(label="Not to be sold for less than")
    begins_on = PastDayField(label="From")
    until = DayField(label="Until")
    payout_days = forms.IntegerField(label="Paid out after the sale", min_value=0, max_value=90, initial=14)
    may_be_lent = forms.BooleanField(label="The owner agrees to home trials", required=False)
    terms = forms.CharField(
        label="Other terms", max_length=500, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["share_percent"].unit = "%"
        self.fields["payout_days"].unit = "days"

    def clean(self):
        cleaned = super().clean()
        share, net = cleaned.get("share_percent"), cleaned.get("net_minor")
        if (share is None) == (net is None) and not {"share_percent", "net_minor"} & set(self.errors):
            self.add_error("share_percent", "Give a share or a fixed sum, one of the two.")
        if net is not None and cleaned.get("least_minor") is not None and net > cleaned["least_minor"]:
            self.add_error("least_minor", "Sold for that, it would not bring what the owner is to get.")
        if cleaned.get("begins_on") and cleaned.get("until") and cleaned["until"] < cleaned["begins_on"]:
            self.add_error("until", "That is before it begins.")
        if not cleaned.get("person") and cleaned.get("new_name") and not cleaned.get("new_address"):
            self.add_error("new_address", "The agreement needs the owner’s address.")
        return cleaned

    def agreed(self) -> dict:
        return {name: self.cleaned_data[name] for name in TERMS}


class PayOutForm(forms.Form):
    amount_minor = MoneyField(label="Amount")
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)


class HandBackForm(forms.Form):
    why = forms.CharField(label="Why", max_length=200)
