from django import forms
from django.utils import timezone

from instruments.forms.fields import DayField, PastDayField
from instruments.photos import PhotoRefused
from instruments.scans import ScanRefused, prepare_scan
from shop.forms.credit_terms import CreditTermsFields
from shop.forms.people import PersonChoice, PersonPickMixin
from shop.forms.promises import NewPersonFields
from shop.forms.signing import SigningFields
from shop.problems import trial_length_problems
from shop.states import MONEY_METHODS, ContractPlace, SigningWay
from workorders.currency import in_words
from workorders.forms.fields import MoneyField

SAY_SO = "Give today or a day to come, or tick below that it went out already."


class TrialForm(PersonPickMixin, CreditTermsFields, NewPersonFields):
    person = PersonChoice(label="Who takes it home")
    price_minor = MoneyField(label="Price, if they keep it")
    pay_now_minor = MoneyField(label="Paid at the start", help_text="Part of the price, or all of it.")
    delivery_minor = MoneyField(
        label="Delivery charge", required=False, help_text="Paid apart from the price."
    )
    starts_on = DayField(label="Goes out on")
    is_entered_late = forms.BooleanField(
        label="It went out already: this is entered late",
        required=False,
        help_text="Needed only where its first day has passed. Its days count from that one.",
    )
    ends_on = DayField(label="To be kept or returned by", help_text="A fixed day, under three months away.")
    at_their_address = forms.BooleanField(
        label="It will stand at the address on their card", required=False, initial=True
    )
    address = forms.CharField(
        label="Or where it will stand instead",
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Left empty where it is the address on their card.",
    )
    agreed_where = forms.ChoiceField(
        label="Where it is agreed",
        choices=ContractPlace.choices,
        required=False,
        help_text="Agreed away from our shop, the law lets them cancel; the agreement then says how.",
    )
    delivery_note = forms.CharField(
        label="Delivery", max_length=300, required=False, help_text="Who moves it, floors, steps."
    )
    special_terms = forms.CharField(
        label="Anything else agreed",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    field_order = ["person", "new_name", "new_address", "new_telephone", "new_email"]

    def clean_address(self):
        """Another one typed stands, whatever is ticked: nobody types it to have it passed over."""
        typed = self.cleaned_data["address"].strip()
        if typed:
            return typed
        if not self.cleaned_data.get("at_their_address"):
            raise forms.ValidationError("Give the address where it will stand, or tick that of their card.")
        if "person" not in self.cleaned_data:
            return typed  # refused already: nobody knows whose card
        person = self.cleaned_data["person"]
        card = person.address if person else self.cleaned_data.get("new_address", "")
        if not card.strip():
            raise forms.ValidationError("There is no address on their card. Give it here.")
        return card.strip()

    def clean(self):
        cleaned = super().clean()
        price, paid = cleaned.get("price_minor"), cleaned.get("pay_now_minor")
        if price == 0:
            self.add_error("price_minor", "A price must be more than nothing.")
        elif price and paid and paid > price:
            self.add_error("pay_now_minor", f"That is more than the price, {in_words(price)}.")
        starts, ends = cleaned.get("starts_on"), cleaned.get("ends_on")
        today = timezone.localdate()
        if starts and starts < today and not cleaned.get("is_entered_late"):
            self.add_error("starts_on", f"{starts:%-d %B %Y} has passed. {SAY_SO}")
        elif starts and ends and ends <= starts:
            self.add_error("ends_on", "The end must come after the start.")
        elif ends and ends <= today:
            self.add_error("ends_on", "That day has passed, or is today. Give a day to come.")
        elif starts and ends:
            for problem in trial_length_problems((ends - starts).days):
                self.add_error("ends_on", problem.sentence)
        return cleaned

    def terms(self) -> dict:
        names = (
            "price_minor",
            "pay_now_minor",
            "starts_on",
            "ends_on",
            "address",
            "delivery_note",
            "special_terms",
            "credit",
        )
        return {name: self.cleaned_data[name] for name in names} | {
            "delivery_minor": self.cleaned_data["delivery_minor"] or 0,
            "agreed_where": self.cleaned_data["agreed_where"] or ContractPlace.SHOP,
        }


class StartTrialForm(SigningFields):
    """What is paid and how it is signed."""

    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)
    way = forms.ChoiceField(
        label="Signed",
        choices=SigningWay.choices,
        required=False,
        widget=forms.RadioSelect,
        initial=SigningWay.PAPER,
    )

    @property
    def payment(self) -> dict:
        return {name: self.cleaned_data[name] for name in ("method", "reference")}


class SignedPaperForm(forms.Form):
    """The printed agreement with ink on it, as a photograph or a scan."""

    file = forms.FileField(label="Photograph or scan of the signed page")
    customer_name = forms.CharField(label="Who signed", max_length=120)
    signed_on = PastDayField(label="Signed on")

    def clean_file(self):
        try:
            return prepare_scan(self.cleaned_data["file"])
        except (ScanRefused, PhotoRefused) as refused:
            raise forms.ValidationError(refused.sentence) from refused
