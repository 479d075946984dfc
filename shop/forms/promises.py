from datetime import timedelta

from django import forms

from instruments.forms.fields import DayField
from shop.forms.people import MailField, PersonChoice, PersonPickMixin, TelephoneField
from shop.states import MONEY_METHODS, SaleEndingKind
from workorders.forms.fields import MoneyField

MOST_DAYS_MORE = 92


class NewPersonFields(forms.Form):
    new_name = forms.CharField(label="Name, if new", max_length=120, required=False)
    new_address = forms.CharField(
        label="Address, if new", max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    new_telephone = TelephoneField(label="Telephone, if new")
    new_email = MailField(label="E-mail, if new")


class HoldForm(PersonPickMixin, NewPersonFields):
    person = PersonChoice(label="For whom")
    until = DayField(label="Held until")
    deposit_minor = MoneyField(label="Deposit taken now", required=False)
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    note = forms.CharField(label="Terms of the hold", max_length=300, required=False)

    field_order = ["person", "new_name", "new_address", "new_telephone", "new_email", "until"]

    def __init__(self, *args, today, **options):
        super().__init__(*args, **options)
        self.today = today

    def clean_until(self):
        until = self.cleaned_data["until"]
        if until < self.today:
            raise forms.ValidationError("That day has passed.")
        return until


class ExtendHoldForm(forms.Form):
    until = DayField(label="Held until")
    why = forms.CharField(
        label="What was written", max_length=200, help_text="By which letter or message, and what it says."
    )

    def __init__(self, *args, today, promise, **options):
        super().__init__(*args, **options)
        self.after = max(promise.until, today - timedelta(days=1))

    def clean_until(self):
        until = self.cleaned_data["until"]
        if until <= self.after:
            raise forms.ValidationError(f"Give a day after {self.after:%-d %B %Y}.")
        if until > self.after + timedelta(days=MOST_DAYS_MORE):
            raise forms.ValidationError(f"Extend it by {MOST_DAYS_MORE} days at most at a time.")
        return until


class WaitingForm(PersonPickMixin, NewPersonFields):
    person = PersonChoice(label="Who waits")
    note = forms.CharField(label="What they said", max_length=300, required=False)

    field_order = ["person", "new_name", "new_address", "new_telephone", "new_email", "note"]


class PaymentForm(forms.Form):
    amount_minor = MoneyField(label="Amount")
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)


class SaleForm(PersonPickMixin, NewPersonFields):
    person = PersonChoice(label="Sold to")
    price_minor = MoneyField(label="Price agreed")
    credit_minor = MoneyField(label="Out of their credit", required=False)
    pay_now_minor = MoneyField(label="Paid now", required=False)
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)

    field_order = ["person", "new_name", "new_address", "new_telephone", "new_email", "price_minor"]

    def clean(self):
        cleaned = super().clean()
        price = cleaned.get("price_minor")
        paid = (cleaned.get("pay_now_minor") or 0) + (cleaned.get("credit_minor") or 0)
        if price == 0:
            self.add_error("price_minor", "A price must be more than nothing.")
        elif price and paid > price:
            self.add_error("pay_now_minor", "That is more than the price.")
        return cleaned


class CreditForm(forms.Form):
    amount_minor = MoneyField(label="Out of their credit")

    def clean_amount_minor(self):
        amount = self.cleaned_data["amount_minor"]
        if amount == 0:
            raise forms.ValidationError("Say how much of it is used.")
        return amount


class ReleaseForm(forms.Form):
    """Nothing to fill in: pressing the button is the answer."""


class SaleEndForm(forms.Form):
    """How a sale that does not stand ends; part exchange is asked of where there was one."""

    kind = forms.ChoiceField(label="What happened", choices=SaleEndingKind, widget=forms.RadioSelect)
    reason = forms.CharField(label="Why", max_length=300)
    give_back = forms.ChoiceField(
        label="What was paid",
        choices=[("refund", "Give it back as money"), ("credit", "Leave it in their credit")],
        widget=forms.RadioSelect,
        initial="refund",
    )
    method = forms.ChoiceField(
        label="Given back by", choices=MONEY_METHODS, help_text="A consumer gets it the way it was paid."
    )
    keep_part_exchange = forms.BooleanField(
        label="The part exchange stays with us; its allowance is paid out", required=False
    )
    customer_agreed = forms.BooleanField(label="The customer agreed to that", required=False)

    def __init__(self, *args, has_part_exchange: bool, **options):
        super().__init__(*args, **options)
        if not has_part_exchange:
            del self.fields["keep_part_exchange"], self.fields["customer_agreed"]

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("keep_part_exchange") and not cleaned.get("customer_agreed"):
            self.add_error("customer_agreed", "It goes back, unless the customer agrees to money instead.")
        return cleaned
