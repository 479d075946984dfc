"""Buying: what it is, who sells it, for how much, on what paper, and what they declare and tell."""

from django import forms

from instruments.forms.documents import ScanField
from instruments.forms.fields import PastDayField
from instruments.forms.identity import IdentityForm
from instruments.states import Place, Teller
from shop.actions.buying import sellers_registration
from shop.actions.ledger import still_to_pay
from shop.forms.money import invoice_faults, settling_fields, settling_of
from shop.forms.people import MailField, PersonChoice, PersonPickMixin, TelephoneField
from shop.models import Clearance
from shop.protected_problems import why_not_bought
from shop.states import InvoiceLabel, ProtectedTold, PurchaseRoute, SellsAs
from workorders.currency import in_words
from workorders.forms.fields import MoneyField

ROUTES = [
    (PurchaseRoute.PRIVATE.value, "From a private seller: we write the invoice"),
    (PurchaseRoute.TRADE.value, "From the trade: they write it"),
]
NOT_SAID = ("", "Not said")
PAPER = ("seller_invoice", "vat_shown", "vat_minor", "scheme_label")
INVOICE = ("extras_minor", *PAPER, "right_to_sell", "protected_told", "note")


class OptionalScanField(ScanField):
    def clean(self, data, initial=None):
        return super().clean(data, initial) if data else None


class BuyForm(PersonPickMixin, IdentityForm):
    place = forms.ChoiceField(label="Where it is now", choices=Place, initial=Place.SELLER)
    person = PersonChoice(label="Seller")
    new_name = forms.CharField(label="Name, if new", max_length=120, required=False)
    new_address = forms.CharField(
        label="Address, if new or not on their card",
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    new_telephone = TelephoneField(label="Telephone, if new")
    new_email = MailField(label="E-mail, if new")
    route = forms.ChoiceField(label="Who writes the invoice", choices=ROUTES, widget=forms.RadioSelect)
    price_minor = MoneyField(label="Total price", help_text="With no other cost added.")
    extras_minor = MoneyField(
        label="Of it for carriage, packing, commission",
        required=False,
        help_text="Only what the same seller charges; what others charge is a cost.",
    )
    bought_on = PastDayField(label="Bought on")
    seller_invoice = forms.CharField(label="Number of their invoice", max_length=40, required=False)
    vat_shown = forms.BooleanField(
        label="It shows VAT",
        required=False,
        help_text="Then the margin scheme is closed to it, and its sale bears VAT on the whole price.",
    )
    vat_minor = MoneyField(label="VAT shown on it", required=False)
    scheme_label = forms.ChoiceField(
        label="Margin scheme label on it", choices=[("", "None"), *InvoiceLabel.choices], required=False
    )
    scan = OptionalScanField(label="Scan of their invoice", required=False, help_text="PDF or picture.")
    right_to_sell = forms.ChoiceField(
        label="In what right do they sell?", choices=[NOT_SAID, *SellsAs.choices], required=False
    )
    protected_told = forms.ChoiceField(
        label="What do they say of ivory?", choices=[NOT_SAID, *ProtectedTold.choices], required=False
    )
    registration = forms.CharField(
        label="Their registration of the ivory",
        max_length=60,
        required=False,
        help_text="In the UK ivory may not be bought before the seller has registered it as exempt.",
    )
    registered_on = PastDayField(label="Registered on", required=False)
    told = forms.CharField(
        label="What they told of it",
        max_length=4000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Kept as told by them, and printed on the invoice that they sign.",
    )
    teller = forms.ChoiceField(
        label="Who they are to the piano", choices=[NOT_SAID, *Teller.choices], required=False
    )
    note = forms.CharField(
        label="Note", max_length=300, required=False, help_text="How it is paid, when it is fetched."
    )

    def __init__(self, *args, sale=None, **options):
        super().__init__(*args, **options)
        self.sale = sale
        if not sale:
            self.fields |= settling_fields()
        else:
            for name in (
                "person",
                "new_name",
                "new_address",
                "new_telephone",
                "new_email",
                "route",
                "scan",
                "extras_minor",
                *PAPER,
            ):
                del self.fields[name]
            self.fields["price_minor"].label = "Allowed for it"

    def clean(self):
        cleaned = super().clean() if not self.sale else IdentityForm.clean(self)
        cleaned["extras_minor"] = cleaned.get("extras_minor") or 0
        cleaned["settling"] = settling_of(cleaned)
        for field, sentence in invoice_faults(cleaned):
            self.add_error(field, sentence)
        if cleaned.get("price_minor") == 0 and self.sale:
            self.add_error("price_minor", "An allowance of nothing is no part exchange.")
        elif self.sale and (cleaned.get("price_minor") or 0) > (most := still_to_pay(self.sale.promise)):
            self.add_error("price_minor", f"That is more than is still to pay, {in_words(most)}.")
        if self.sale or cleaned.get("route") == PurchaseRoute.PRIVATE:
            self._clean_private(cleaned)
        elif cleaned.get("route") == PurchaseRoute.TRADE and not cleaned.get("seller_invoice"):
            self.add_error("seller_invoice", "The stock book names their invoice by its number.")
        return cleaned

    def _clean_private(self, cleaned: dict) -> None:
        if not cleaned.get("right_to_sell"):
            self.add_error("right_to_sell", "Ask: it is declared over their signature.")
        if not cleaned.get("protected_told"):
            self.add_error("protected_told", "Ask; “does not know” is an answer.")
        for name in PAPER:
            if cleaned.get(name):
                self.add_error(name, "A private seller writes no invoice.")
        person = self.sale.person.standing_card if self.sale else cleaned.get("person")
        if person and not person.address.strip() and not cleaned.get("new_address"):
            if self.sale:
                self.add_error(None, f"The invoice needs {person}’s address. Write it on their card first.")
            else:
                words = f"The invoice needs {person}’s address. Write it here; it goes on their card."
                self.add_error("new_address", words)
        elif not person and cleaned.get("new_name") and not cleaned.get("new_address"):
            self.add_error("new_address", "The invoice needs the seller’s address.")

    def _post_clean(self):
        """What the law wants is said beside what else is missing, not when all of that is mended."""
        super()._post_clean()
        if {"natural_covering", "sharp_covering", "registered_on"} & self.errors.keys():
            return
        reference, day = (self.cleaned_data.get(name) for name in ("registration", "registered_on"))
        paper = Clearance(**sellers_registration(reference, day)) if reference else None
        if found := why_not_bought(self.instance, paper):
            self.add_error(*found)

    @property
    def address_for_their_card(self) -> str:
        """What was typed for somebody known whose card has no address yet."""
        person = self.cleaned_data.get("person")
        return self.cleaned_data.get("new_address", "") if person and not person.address.strip() else ""

    def terms(self) -> dict:
        """What `buy` takes, but for the seller, the pictures and the scan."""
        cleaned = self.cleaned_data
        named = ("price_minor", "bought_on", "told", "teller", "registration", "registered_on", "settling")
        terms = {name: cleaned[name] for name in named}
        terms |= {name: cleaned[name] for name in INVOICE if name in cleaned}
        route = PurchaseRoute.PART_EXCHANGE if self.sale else cleaned["route"]
        return terms | {"identity": self.identity() | {"place": cleaned["place"]}, "route": route}
