from collections.abc import Iterator

from django import forms

from instruments.forms.fields import PastDayField
from shop.actions.seller_payments import paid_already
from shop.forms.choices import PersonChoice
from shop.models import AskingPrice, CostEstimate, CostLine, Purchase
from shop.seller_money import SellerMoney, Settling
from shop.states import MONEY_METHODS, ROUTES_BY_HAND
from workorders.currency import in_words
from workorders.forms.fields import MoneyField


class PriceForm(forms.ModelForm):
    amount_minor = MoneyField(label="Asking price")

    class Meta:
        model = AskingPrice
        fields = ["amount_minor", "reason"]

    def clean_amount_minor(self):
        amount = self.cleaned_data["amount_minor"]
        if amount == 0:
            raise forms.ValidationError("A price must be more than nothing.")
        return amount


class EstimateForm(forms.ModelForm):
    amount_minor = MoneyField(label="Expected to come to")

    class Meta:
        model = CostEstimate
        fields = ["kind", "amount_minor", "note"]


class CostForm(forms.ModelForm):
    amount_minor = MoneyField(label="Amount")
    takes_back = forms.BooleanField(label="This takes an earlier line back", required=False)
    spent_on = PastDayField(label="Spent on")

    class Meta:
        model = CostLine
        fields = ["kind", "amount_minor", "spent_on", "note", "takes_back"]
        help_texts = {
            "kind": "A bill for work given out on an order is written down there, under its work outside: "
            "here it would count twice. Outwork stays for what was not given out that way.",
        }

    def clean(self):
        cleaned = super().clean()
        amount = cleaned.get("amount_minor")
        if amount == 0:
            self.add_error("amount_minor", "A cost must be more than nothing.")
        elif amount and cleaned.get("takes_back"):
            cleaned["amount_minor"] = -amount
        return cleaned


IN_FULL, LATER = "all", "later"


def settling_fields() -> dict[str, forms.Field]:
    """Whether the seller is paid; left alone, they are, as the price is called the price paid."""
    return {
        "settled": forms.ChoiceField(
            label="Is the seller paid?",
            choices=[(IN_FULL, "Paid in full"), (LATER, "Still to be paid, all or part of it")],
            widget=forms.RadioSelect,
            initial=IN_FULL,
            required=False,
            help_text="What is still to be paid stands under Books until it is.",
        ),
        "paid_by": forms.ChoiceField(
            label="Paid by", choices=[("", "Not said"), *MONEY_METHODS], required=False
        ),
        "paid_reference": forms.CharField(label="Reference of the payment", max_length=80, required=False),
    }


def settling_of(cleaned: dict) -> Settling:
    """Taken out of what a form was given."""
    settled = cleaned.pop("settled", "")
    method, reference = cleaned.pop("paid_by", ""), cleaned.pop("paid_reference", "")
    return Settling(settled != LATER, method, reference)


class SellerPaymentForm(forms.Form):
    amount_minor = MoneyField(label="Amount")
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)
    paid_on = PastDayField(label="Paid on")
    takes_back = forms.BooleanField(label="This takes an earlier payment back", required=False)

    def __init__(self, *args, money: SellerMoney, **options):
        super().__init__(*args, **options)
        self.money = money

    def clean(self):
        cleaned = super().clean()
        amount, takes_back = cleaned.get("amount_minor"), cleaned.get("takes_back")
        most = self.money.paid_minor if takes_back else self.money.owed_minor
        if amount == 0:
            self.add_error("amount_minor", "A payment must be more than nothing.")
        elif amount and amount > most:
            what = "was paid so far" if takes_back else "is still owed for it"
            self.add_error("amount_minor", f"That is too much: {in_words(most)} {what}.")
        return cleaned


class PurchaseForm(forms.ModelForm):
    price_minor = MoneyField(
        label="Price", required=False, help_text="Without transport or repairs: those are costs."
    )
    bought_on = PastDayField(label="Bought on", required=False)
    seller = PersonChoice(label="Seller", nobody="unknown", beside="")
    extras_minor = MoneyField(
        label="Of it for carriage, packing, commission",
        required=False,
        help_text="Only what the same seller charged; what others charged is a cost.",
    )
    vat_minor = MoneyField(label="VAT shown on it", required=False)

    def __init__(self, *args, paid_minor: int = 0, **options):
        super().__init__(*args, **options)
        self.paid_minor = paid_minor
        self.fields["route"].choices = ROUTES_BY_HAND
        self.fields |= settling_fields()

    class Meta:
        model = Purchase
        fields = [
            "seller",
            "seller_kind",
            "route",
            "price_minor",
            "extras_minor",
            "bought_on",
            "seller_invoice",
            "vat_shown",
            "vat_minor",
            "scheme_label",
            "note",
        ]

    def clean(self):
        cleaned = super().clean()
        cleaned["extras_minor"] = cleaned.get("extras_minor") or 0
        for field, sentence in invoice_faults(cleaned):
            self.add_error(field, sentence)
        cleaned["settling"] = settling_of(cleaned)
        if not cleaned["settling"].in_full and self.paid_minor > (cleaned.get("price_minor") or 0):
            self.add_error("price_minor", paid_already(self.paid_minor))
        return cleaned


def invoice_faults(cleaned: dict) -> Iterator[tuple[str, str]]:
    """What cannot all be true of one purchase invoice: the field, and a sentence to act on."""
    if cleaned.get("extras_minor") and cleaned["extras_minor"] > (cleaned.get("price_minor") or 0):
        yield "extras_minor", "This is part of the price paid, and so cannot be more than that."
    if cleaned.get("vat_minor") is not None and not cleaned.get("vat_shown"):
        yield "vat_minor", "Tick that the invoice shows VAT, or leave the amount out."
    if cleaned.get("vat_minor") and cleaned["vat_minor"] > (cleaned.get("price_minor") or 0):
        yield "vat_minor", "The VAT is within the price paid, and so cannot be more than that."
    if cleaned.get("scheme_label") and cleaned.get("vat_shown"):
        yield "scheme_label", "An invoice that shows VAT is not under the margin scheme: leave the label out."
