"""Placing a hold by its terms, ending it by them, and giving money back afterwards."""

from datetime import timedelta

from django import forms

from instruments.forms.fields import DayField
from shop.calc.hold_terms import MOST_DAYS, latest_end
from shop.forms.people import PersonChoice, PersonPickMixin
from shop.forms.promises import NewPersonFields
from shop.states import MONEY_METHODS, GiveBack, LetGoBy
from workorders.currency import in_words
from workorders.forms.fields import MoneyField


class HoldForm(PersonPickMixin, NewPersonFields):
    person = PersonChoice(label="For whom")
    until = DayField(label="Held until")
    deposit_minor = MoneyField(label="Deposit taken now", required=False)
    method = forms.ChoiceField(label="Paid by", choices=MONEY_METHODS)
    full_until = DayField(label="Deposit given back in full until", required=False)
    keep_percent = forms.IntegerField(
        label="Afterwards we may keep, for a real loss, at most",
        required=False,
        min_value=0,
        max_value=100,
        help_text="0: it is given back whole whenever they let it go.",
    )
    keep_most_minor = MoneyField(label="And never more than", required=False)
    note = forms.CharField(label="Also agreed", max_length=300, required=False)

    field_order = ["person", "new_name", "new_address", "new_telephone", "new_email", "until"]

    def __init__(self, *args, today, shop, asking_minor: int | None, **options):
        super().__init__(*args, **options)
        self.today, self.asking_minor = today, asking_minor
        self.fields["until"].initial = today + timedelta(days=shop.hold_days)
        usual = today + timedelta(days=shop.hold_full_days)
        self.fields[
            "full_until"
        ].help_text = f"Left empty: {usual:%-d %B %Y}, or the last day of the hold where that is sooner."
        self.fields["keep_percent"].initial = shop.hold_keep_percent
        self.fields["keep_percent"].unit = "% of it"
        self.fields["keep_most_minor"].initial = shop.hold_keep_most_minor

    def clean_until(self):
        until = self.cleaned_data["until"]
        if until < self.today:
            raise forms.ValidationError("That day has passed.")
        if until > (latest := latest_end(self.today)):
            raise forms.ValidationError(
                f"Hold it for {MOST_DAYS} days at most: until {latest:%-d %B %Y}. It can be extended later."
            )
        return until

    def clean_full_until(self):
        day = self.cleaned_data["full_until"]
        if day and day < self.today:
            raise forms.ValidationError("That day has passed.")
        until = self.cleaned_data.get("until")
        if day and until and day > until:
            raise forms.ValidationError(f"The hold itself ends on {until:%-d %B %Y}: give a day up to then.")
        return day

    def clean_deposit_minor(self):
        deposit = self.cleaned_data["deposit_minor"]
        if deposit and self.asking_minor is not None and deposit > self.asking_minor:
            raise forms.ValidationError(f"That is more than the price asked, {in_words(self.asking_minor)}.")
        return deposit

    @property
    def terms(self) -> dict:
        names = ("until", "method", "note", "full_until", "keep_percent", "keep_most_minor")
        return {name: self.cleaned_data[name] for name in names}


class EndHoldForm(forms.Form):
    """How a hold ends. Where nothing was paid on it, only who let it go is asked.

    That its last day has passed stands to choose only once it has; the deposit goes back as it was paid.
    """

    let_go_by = forms.ChoiceField(
        label="Who lets it go",
        choices=LetGoBy,
        widget=forms.RadioSelect,
        required=False,
        initial=LetGoBy.CUSTOMER,
    )
    give_back = forms.ChoiceField(
        label="The deposit",
        choices=GiveBack,
        widget=forms.RadioSelect,
        required=False,
        initial=GiveBack.REFUND,
    )
    method = forms.ChoiceField(label="Given back by", choices=MONEY_METHODS, required=False)
    kept_minor = MoneyField(label="Kept of it, for a loss", required=False)
    kept_reason = forms.CharField(
        label="What the loss is", max_length=300, required=False, help_text="It stands in their statement."
    )
    told_how = forms.CharField(
        label="How they were told", max_length=200, required=False, help_text="By which letter or message."
    )

    def __init__(
        self, *args, paid_minor: int, most_minor: int, has_passed: bool, paid_by: str = "", **options
    ):
        super().__init__(*args, **options)
        self.paid_minor, self.most_minor = paid_minor, most_minor
        self.fields["method"].initial = paid_by
        if has_passed:
            self.fields["let_go_by"].initial = LetGoBy.NOBODY
        else:
            self.fields["let_go_by"].choices = [each for each in LetGoBy.choices if each[0] != LetGoBy.NOBODY]
        if not paid_minor:
            for name in ("give_back", "method"):
                del self.fields[name]
        if not most_minor:
            for name in ("kept_minor", "kept_reason", "told_how"):
                del self.fields[name]

    def clean(self):
        cleaned = super().clean()
        cleaned["let_go_by"] = cleaned.get("let_go_by") or LetGoBy.CUSTOMER
        cleaned["give_back"] = cleaned.get("give_back") or GiveBack.REFUND
        if self.paid_minor and cleaned["give_back"] == GiveBack.REFUND and not cleaned.get("method"):
            self.add_error("method", "Choose how it is given back.")
        cleaned["kept_minor"] = kept = cleaned.get("kept_minor") or 0
        if kept > self.most_minor:
            self.add_error("kept_minor", f"By the terms no more than {in_words(self.most_minor)}.")
        if kept and cleaned["let_go_by"] == LetGoBy.SHOP:
            self.add_error("kept_minor", "It is we who let it go: they have all of it back.")
        for name, sentence in (
            ("kept_reason", "Say what the loss is that is kept for."),
            ("told_how", "Say how they were told what is kept."),
        ):
            if kept and not cleaned.get(name):
                self.add_error(name, sentence)
        return cleaned


class GiveBackLaterForm(forms.Form):
    amount_minor = MoneyField(label="Given back")
    method = forms.ChoiceField(label="Given back by", choices=MONEY_METHODS)
    reference = forms.CharField(max_length=80, required=False)
    reason = forms.CharField(label="Why", max_length=300, help_text="It stands in their statement.")

    def __init__(self, *args, held_minor: int, **options):
        super().__init__(*args, **options)
        self.held_minor = held_minor

    def clean_amount_minor(self):
        amount = self.cleaned_data["amount_minor"]
        if amount == 0:
            raise forms.ValidationError("Say how much is given back.")
        if amount > self.held_minor:
            raise forms.ValidationError(f"No more than {in_words(self.held_minor)} was kept.")
        return amount
