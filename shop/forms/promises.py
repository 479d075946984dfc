from datetime import date, timedelta

from django import forms

from instruments.forms.fields import DayField, PastDayField
from shop.book_problems import dating_problems
from shop.calc.hold_terms import MOST_DAYS, latest_end
from shop.forms.people import MailField, PersonChoice, PersonPickMixin, TelephoneField
from shop.forms.sale_course import WIDE, AgreedFields
from shop.sale_problems import sale_day_problems
from shop.states import ENDINGS_BY_HAND, MONEY_METHODS
from workorders.currency import in_words
from workorders.forms.fields import MoneyField


def far_from(price_minor: int, asking_minor: int | None) -> str:
    """Why a price is worth a second look: under half of what is asked, or over twice; else ""."""
    if not asking_minor or asking_minor <= 2 * price_minor <= 4 * asking_minor:
        return ""
    how = "less than half" if price_minor < asking_minor else "more than twice"
    return f"{in_words(price_minor)} is {how} the price asked, {in_words(asking_minor)}."


class NewPersonFields(forms.Form):
    new_name = forms.CharField(label="Name, if new", max_length=120, required=False)
    new_address = forms.CharField(
        label="Address, if new", max_length=400, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    new_telephone = TelephoneField(label="Telephone, if new")
    new_email = MailField(label="E-mail, if new")


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
        if until > (latest := latest_end(self.after)):
            raise forms.ValidationError(
                f"Extend it by {MOST_DAYS} days at most at a time: until {latest:%-d %B %Y}."
            )
        return until


class WaitingForm(PersonPickMixin, NewPersonFields):
    person = PersonChoice(label="Who waits")
    note = forms.CharField(label="What they said", max_length=300, required=False)

    field_order = ["person", "new_name", "new_address", "new_telephone", "new_email", "note"]


class PaymentForm(forms.Form):
    amount_minor = MoneyField(label="Amount")
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)


class PaymentInForm(PaymentForm):
    """Money that came in, perhaps some days ago: not before `since`, nor in a closed period."""

    paid_on = PastDayField(label="Received on", required=False, help_text="Left empty: today.")

    def __init__(self, *args, since: date, since_words: str, **options):
        super().__init__(*args, **options)
        self.since, self.since_words = since, since_words

    def clean_paid_on(self):
        day = self.cleaned_data["paid_on"]
        if day and day < self.since:
            raise forms.ValidationError(
                f"{self.since_words} {self.since:%-d %B %Y}: give that day or a later one."
            )
        if day and (problems := dating_problems(day)):
            raise forms.ValidationError([str(each.sentence) for each in problems])
        return day


class SaleForm(PersonPickMixin, AgreedFields, NewPersonFields):
    """A price far from the one asked is confirmed by a tick, which stands there only then."""

    person = PersonChoice(label="Sold to")
    sold_on = PastDayField(
        label="Agreed on",
        required=False,
        help_text="Left empty: today. A sale entered late, and what is paid with it, count from that day.",
    )
    price_minor = MoneyField(label="Price agreed")
    price_is_meant = forms.BooleanField(label="That price is right", required=False, widget=forms.HiddenInput)
    credit_minor = MoneyField(label="Out of their credit", required=False)
    pay_now_minor = MoneyField(label="Paid now", required=False)
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)

    in_stages = forms.BooleanField(label="It is paid in stages: agree on them next", required=False)

    field_order = ["person", "new_name", "new_address", "new_telephone", "new_email", "price_minor"]

    def __init__(self, *args, asking_minor: int | None, instrument, **options):
        super().__init__(*args, **options)
        self.asking_minor, self.instrument = asking_minor, instrument

    def clean_sold_on(self):
        day = self.cleaned_data["sold_on"]
        if day and (problems := sale_day_problems(self.instrument, day)):
            raise forms.ValidationError([str(each.sentence) for each in problems])
        return day

    def clean(self):
        cleaned = super().clean()
        price = cleaned.get("price_minor")
        if price and not cleaned.get("price_is_meant") and (far := far_from(price, self.asking_minor)):
            self.fields["price_is_meant"].widget = forms.CheckboxInput()
            self.add_error("price_is_meant", f"{far} Change it, or tick that it is right.")
        paid = (cleaned.get("pay_now_minor") or 0) + (cleaned.get("credit_minor") or 0)
        if price == 0:
            self.add_error("price_minor", "A price must be more than nothing.")
        elif price and paid > price:
            name = "pay_now_minor" if cleaned.get("pay_now_minor") else "credit_minor"
            self.add_error(name, f"That is more than the price, {in_words(price)}.")
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

    kind = forms.ChoiceField(
        label="What happened", choices=ENDINGS_BY_HAND, widget=forms.RadioSelect(attrs=WIDE)
    )
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
    other_means_agreed = forms.BooleanField(
        label="They expressly agreed to be paid back another way than they paid", required=False
    )
    deduction_minor = MoneyField(
        label="Kept of what they paid",
        required=False,
        help_text="Nothing, as a rule. The law allows it in few cases.",
    )
    deduction_for = forms.CharField(label="What that is kept for", max_length=300, required=False)
    delivery_back_minor = MoneyField(label="Delivery given back", required=False)
    chose_dearer = forms.BooleanField(
        label="They chose a dearer way than our ordinary delivery; the rest paid for that", required=False
    )
    is_back = forms.BooleanField(label="It is back with us, or never left", required=False)
    keep_part_exchange = forms.BooleanField(
        label="The part exchange stays with us; its allowance is paid out", required=False
    )
    customer_agreed = forms.BooleanField(label="The customer agreed to that", required=False)

    def __init__(self, *args, paid_minor: int, allowed_minor: int, carriage_minor: int, **options):
        super().__init__(*args, **options)
        self.paid_minor, self.allowed_minor = paid_minor, allowed_minor
        self.carriage_minor = carriage_minor
        if not allowed_minor:
            del self.fields["keep_part_exchange"], self.fields["customer_agreed"]
        self.fields["delivery_back_minor"].help_text = (
            f"{in_words(carriage_minor)} was paid for it. Left empty: all of it where they cancel as of "
            "right, else nothing."
        )
        if carriage_minor <= 0:
            del self.fields["delivery_back_minor"], self.fields["chose_dearer"]

    def clean_delivery_back_minor(self):
        back = self.cleaned_data["delivery_back_minor"]
        if back is not None and back > self.carriage_minor:
            raise forms.ValidationError(f"No more than {in_words(self.carriage_minor)} was paid for it.")
        return back

    @property
    def most_kept_minor(self) -> int:
        """What can be kept at most: what was paid, less what goes back in kind."""
        keeps = self.cleaned_data.get("keep_part_exchange")
        return self.paid_minor - (0 if keeps else self.allowed_minor)

    def clean(self):
        cleaned = super().clean()
        kept = cleaned.get("deduction_minor") or 0
        if kept > max(0, self.most_kept_minor):
            self.add_error(
                "deduction_minor", f"No more than {in_words(max(0, self.most_kept_minor))} can be kept of it."
            )
        if cleaned.get("keep_part_exchange") and not cleaned.get("customer_agreed"):
            self.add_error("customer_agreed", "It goes back, unless the customer agrees to money instead.")
        cleaned["deduction_minor"] = cleaned.get("deduction_minor") or 0
        if cleaned["deduction_minor"] and not cleaned.get("deduction_for"):
            self.add_error("deduction_for", "Say what it is kept for.")
        return cleaned
