from django import forms

from instruments.forms.fields import DayField, PastDayField
from instruments.models import Instrument
from instruments.photos import PhotoRefused
from instruments.scans import ScanRefused, prepare_scan
from shop.calc.signature import NOT_DRAWN, Drawing, read_drawing
from shop.forms.people import PersonChoice, PersonPickMixin
from shop.forms.promises import NewPersonFields
from shop.problems import trial_length_problems
from shop.states import MONEY_METHODS, ContractPlace, SigningWay
from workorders.currency import in_words
from workorders.forms.fields import MoneyField

LONGEST_DRAWING = 100_000


class DrawingField(forms.CharField):
    """Lines drawn in a field of the page, as its script sends them; None where nobody drew."""

    def __init__(self, **options):
        super().__init__(max_length=LONGEST_DRAWING, required=False, widget=forms.HiddenInput, **options)

    def clean(self, value) -> Drawing | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return read_drawing(text)
        except ValueError as reason:
            raise forms.ValidationError(str(reason)) from reason


class TrialForm(PersonPickMixin, NewPersonFields):
    person = PersonChoice(label="Who takes it home")
    price_minor = MoneyField(label="Price, if they keep it")
    pay_now_minor = MoneyField(label="Paid at the start", help_text="Part of the price, or all of it.")
    credit_percent = forms.IntegerField(
        label="Share that counts on",
        min_value=0,
        max_value=100,
        help_text="Of what is paid, toward another instrument.",
    )
    delivery_minor = MoneyField(
        label="Delivery charge", required=False, help_text="Paid apart; it does not count toward the price."
    )
    starts_on = DayField(label="Goes out on")
    ends_on = DayField(label="To be kept or returned by", help_text="A fixed day, under three months away.")
    address = forms.CharField(
        label="Where it will stand", max_length=400, widget=forms.Textarea(attrs={"rows": 3})
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

    def clean(self):
        cleaned = super().clean()
        price, paid = cleaned.get("price_minor"), cleaned.get("pay_now_minor")
        if price == 0:
            self.add_error("price_minor", "A price must be more than nothing.")
        elif price and paid and paid > price:
            self.add_error("pay_now_minor", "That is more than the price.")
        starts, ends = cleaned.get("starts_on"), cleaned.get("ends_on")
        if starts and ends and ends <= starts:
            self.add_error("ends_on", "The end must come after the start.")
        elif starts and ends:
            for problem in trial_length_problems((ends - starts).days):
                self.add_error("ends_on", problem.sentence)
        return cleaned

    def terms(self) -> dict:
        names = (
            "price_minor",
            "pay_now_minor",
            "credit_percent",
            "starts_on",
            "ends_on",
            "address",
            "delivery_note",
            "special_terms",
        )
        return {name: self.cleaned_data[name] for name in names} | {
            "delivery_minor": self.cleaned_data["delivery_minor"] or 0,
            "agreed_where": self.cleaned_data["agreed_where"] or ContractPlace.SHOP,
        }


class StartTrialForm(forms.Form):
    """What is paid and how it is signed; the hash is that of the words on the page that was read."""

    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)
    way = forms.ChoiceField(
        label="Signed",
        choices=SigningWay.choices,
        required=False,
        widget=forms.RadioSelect,
        initial=SigningWay.PAPER,
    )
    customer_name = forms.CharField(label="Name of who signs", max_length=120, required=False)
    customer_drawing = DrawingField(label="Their signature")
    shop_drawing = DrawingField(label="For the shop")
    content_hash = forms.CharField(max_length=64, required=False, widget=forms.HiddenInput)

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("way") != SigningWay.SCREEN:
            return cleaned | {"customer_drawing": None, "shop_drawing": None}
        if not cleaned.get("customer_name"):
            self.add_error("customer_name", "Give the name of who signs.")
        for name in ("customer_drawing", "shop_drawing"):
            if name not in self.errors and not cleaned.get(name):
                self.add_error(name, NOT_DRAWN)
        return cleaned

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


class KeepForm(forms.Form):
    note = forms.CharField(max_length=300, required=False)


class InstrumentChoice(forms.ModelChoiceField):
    def label_from_instance(self, instrument) -> str:
        price = f", {in_words(instrument.price_now)}" if instrument.price_now else ""
        return f"{instrument.stock_number} {instrument.maker_name}{price}"


class ExchangeForm(forms.Form):
    other = InstrumentChoice(
        label="Exchanged for",
        queryset=Instrument.objects.none(),
        empty_label="Choose an instrument",
        widget=forms.Select(attrs={"data-wide": ""}),
    )
    other_price_minor = MoneyField(
        label="Its price", required=False, help_text="Left empty: the price asked today."
    )
    note = forms.CharField(max_length=300, required=False)

    def __init__(self, *args, instruments, **options):
        super().__init__(*args, **options)
        self.fields["other"].queryset = instruments

    def clean(self):
        cleaned = super().clean()
        other = cleaned.get("other")
        if other and cleaned.get("other_price_minor") is None and "other_price_minor" not in self.errors:
            cleaned["other_price_minor"] = other.price_now
            if other.price_now is None:
                self.add_error("other_price_minor", "No price is set for that one; agree one here.")
        if cleaned.get("other_price_minor") == 0:
            self.add_error("other_price_minor", "A price must be more than nothing.")
        return cleaned


class ReturnForm(forms.Form):
    deduction_minor = MoneyField(label="Deduction agreed", required=False)
    give_back = forms.ChoiceField(
        label="What is left",
        choices=[("refund", "Give it back"), ("credit", "Leave it in credit")],
        widget=forms.RadioSelect,
        initial="refund",
    )
    method = forms.ChoiceField(label="Given back by", choices=MONEY_METHODS)
    note = forms.CharField(
        label="What was agreed", max_length=300, required=False, help_text="Say why, if anything is deducted."
    )

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("deduction_minor") and not cleaned.get("note"):
            self.add_error("note", "Say what the deduction is for.")
        return cleaned
