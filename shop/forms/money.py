from collections.abc import Iterator

from django import forms

from instruments.forms.fields import PastDayField
from shop.models import AskingPrice, CostEstimate, CostLine, Person, Purchase
from shop.states import ROUTES_BY_HAND
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


class PurchaseForm(forms.ModelForm):
    price_minor = MoneyField(
        label="Price paid", required=False, help_text="Without transport or repairs: those are costs."
    )
    bought_on = PastDayField(label="Bought on", required=False)
    seller = forms.ModelChoiceField(queryset=Person.objects.all(), required=False, empty_label="Not recorded")
    extras_minor = MoneyField(
        label="Of it for carriage, packing, commission",
        required=False,
        help_text="Only what the same seller charged; what others charged is a cost.",
    )
    vat_minor = MoneyField(label="VAT shown on it", required=False)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["route"].choices = ROUTES_BY_HAND

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
