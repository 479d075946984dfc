"""Money of a home trial while it runs and when it ends: fees, deductions, and the three endings."""

from django import forms

from instruments.forms.fields import PastDayField
from shop.actions.deductions import Agreed
from shop.deduction_states import AGREED_KINDS, DeductionAgreed, DeductionKind
from shop.forms.choices import InstrumentChoice
from shop.states import MONEY_METHODS, PaymentPurpose
from workorders.forms.fields import MoneyField

AGREED_CHOICES = [(kind.value, kind.label) for kind in AGREED_KINDS]
NOT_AGREED = "Say how they agreed. What a customer has not agreed to is not deducted."


COMPARE_FIRST = "Close the report as it came back first, or say here why the money cannot wait for it."


class ComparedFirst(forms.Form):
    """Asks why it is settled all the same, where the report as it came back is open (`to_compare`)."""

    without_comparing = forms.CharField(
        label="Settle without comparing, and why",
        max_length=300,
        required=False,
        help_text="Only where it cannot wait. It stays with the trial and stands in the settlement.",
    )

    def __init__(self, *args, to_compare, **options):
        super().__init__(*args, **options)
        self.to_compare = to_compare
        if not to_compare:
            del self.fields["without_comparing"]

    def refuse_uncompared(self) -> None:
        if self.to_compare and not self.cleaned_data.get("without_comparing"):
            self.add_error("without_comparing", COMPARE_FIRST)


class KeepForm(forms.Form):
    note = forms.CharField(max_length=300, required=False)


class ExchangeForm(ComparedFirst):
    other = InstrumentChoice(label="Exchanged for")
    other_price_minor = MoneyField(
        label="Its price", required=False, help_text="Left empty: the price asked today."
    )
    take = forms.ChoiceField(
        label="They take it",
        choices=[("sale", "To keep"), ("trial", "On a home trial of its own")],
        required=False,
        widget=forms.RadioSelect,
        initial="sale",
        help_text="A trial is drafted first, with its own agreement; this one ends when that one starts.",
    )
    left_over = forms.ChoiceField(
        label="What is left over",
        choices=[("credit", "Leave it in credit"), ("refund", "Give it back")],
        required=False,
        widget=forms.RadioSelect,
        initial="credit",
    )
    method = forms.ChoiceField(label="Given back by", choices=MONEY_METHODS, required=False)
    exception = forms.CharField(
        label="The owner’s exception, and why",
        max_length=300,
        required=False,
        help_text="Only where the terms say “a dearer one only”, and only by the owner.",
    )
    note = forms.CharField(max_length=300, required=False)

    field_order = ("other", "other_price_minor", "take", "left_over", "method", "exception", "note")

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
        cleaned["take"] = cleaned.get("take") or "sale"
        cleaned["left_over"] = cleaned.get("left_over") or "credit"
        if cleaned["take"] == "sale" and cleaned["left_over"] == "refund" and not cleaned.get("method"):
            self.add_error("method", "Say how it is given back.")
        if cleaned["take"] == "sale":
            self.refuse_uncompared()
        return cleaned


class ReturnForm(ComparedFirst):
    give_back = forms.ChoiceField(
        label="What is left",
        choices=[("refund", "Give it back"), ("credit", "Leave it in credit")],
        widget=forms.RadioSelect,
        initial="refund",
    )
    method = forms.ChoiceField(label="Given back by", choices=MONEY_METHODS)
    deduction_minor = MoneyField(
        label="A deduction agreed now", required=False, help_text="Left empty, nothing more is deducted."
    )
    deduction_kind = forms.ChoiceField(label="It is for", choices=AGREED_CHOICES, required=False)
    note = forms.CharField(label="What it is for, or a note", max_length=300, required=False)
    agreed_how = forms.ChoiceField(
        label="How they agreed to it", choices=[("", "Not agreed"), *DeductionAgreed.choices], required=False
    )

    field_order = ("give_back", "method", "deduction_minor", "deduction_kind", "note", "agreed_how")

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("deduction_minor"):
            if not cleaned.get("note"):
                self.add_error("note", "Say what the deduction is for.")
            if not cleaned.get("agreed_how") and "agreed_how" not in self.errors:
                self.add_error("agreed_how", NOT_AGREED)
        self.refuse_uncompared()
        return cleaned

    def deduction(self, *, on) -> Agreed | None:
        data = self.cleaned_data
        if not data["deduction_minor"]:
            return None
        kind = data["deduction_kind"] or DeductionKind.DAMAGE
        return Agreed(kind, data["note"], data["deduction_minor"], data["agreed_how"], on)


class DeductionForm(forms.Form):
    """One line that both agree on while the trial runs."""

    kind = forms.ChoiceField(label="It is for", choices=AGREED_CHOICES)
    words = forms.CharField(label="What exactly", max_length=300, help_text="In words they can follow.")
    amount_minor = MoneyField(label="To be deducted")
    agreed_how = forms.ChoiceField(
        label="How they agreed to it", choices=[("", "Not agreed"), *DeductionAgreed.choices], required=False
    )
    agreed_on = PastDayField(label="On which day")

    def clean_agreed_how(self):
        if not self.cleaned_data["agreed_how"]:
            raise forms.ValidationError(NOT_AGREED)
        return self.cleaned_data["agreed_how"]

    @property
    def line(self) -> Agreed:
        return Agreed(**self.cleaned_data)


class TakeBackForm(forms.Form):
    why = forms.CharField(label="Why it is taken back", max_length=300)


class FeeForm(forms.Form):
    purpose = forms.ChoiceField(
        label="For",
        choices=[
            (PaymentPurpose.TUNING, "Tuning"),
            (PaymentPurpose.HIRE, "Hire"),
            (PaymentPurpose.DELIVERY, "Delivery"),
        ],
    )
    amount_minor = MoneyField(label="Amount", help_text="With any VAT: it enters the books as a fee.")
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)
