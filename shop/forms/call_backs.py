"""Taking a call-back down, judging it, closing it."""

from datetime import date

from django import forms

from instruments.forms.fields import NumberField, PastDayField
from shop.calc.after_care import PartTerms
from shop.care_problems import why_not_told_then
from shop.care_states import AnswerWay, CallBackOutcome, Verdict
from shop.models import Promise

OTHER = ("other", "Something else")


class CallBackForm(forms.Form):
    told_on = PastDayField(label="Told on")
    words = forms.CharField(
        label="In their words", max_length=2000, widget=forms.Textarea(attrs={"rows": 4, "data-wide": ""})
    )
    part = forms.ChoiceField(label="Part, as far as one can tell")
    urgent = forms.BooleanField(label="It cannot be played, or may do harm", required=False)

    def __init__(self, *args, parts: tuple[PartTerms, ...], promise: Promise | None, **options):
        super().__init__(*args, **options)
        self.promise = promise
        self.fields["part"].choices = [("", "Choose"), *((p.code, p.name) for p in parts), OTHER]

    def clean_told_on(self):
        day = self.cleaned_data["told_on"]
        if self.promise and (too_early := why_not_told_then(self.promise, day)):
            raise forms.ValidationError(too_early)
        return day

    def call_back(self) -> dict:
        names = dict(self.fields["part"].choices)
        return self.cleaned_data | {"part_name": names[self.cleaned_data["part"]]}


class JudgeForm(forms.Form):
    verdict = forms.ChoiceField(label="It is", choices=Verdict, widget=forms.RadioSelect)
    why = forms.CharField(
        label="Why",
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3, "data-wide": ""}),
        help_text="In a sentence that can be read to them.",
    )
    humidity_percent = NumberField(
        label="Humidity they read",
        required=False,
        min_value=0,
        max_value=100,
        max_digits=4,
        decimal_places=1,
    )
    temperature_c = NumberField(
        label="Temperature they read",
        required=False,
        min_value=-40,
        max_value=60,
        max_digits=3,
        decimal_places=1,
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["humidity_percent"].unit = "% RH"
        self.fields["temperature_c"].unit = "°C"

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("verdict") == Verdict.CLIMATE and cleaned.get("humidity_percent") is None:
            self.add_error("humidity_percent", "Give the reading that shows it.")
        return cleaned


class AnswerForm(forms.Form):
    answered_on = PastDayField(label="Told them on")
    how = forms.ChoiceField(label="How", choices=AnswerWay, widget=forms.RadioSelect)
    words = forms.CharField(
        label="What they were told",
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 4, "data-wide": ""}),
    )

    def __init__(self, *args, told_on: date, **options):
        super().__init__(*args, **options)
        self.told_on = told_on

    def clean_answered_on(self):
        return not_before(self.told_on, self.cleaned_data["answered_on"])


def not_before(told_on: date, day: date | None) -> date | None:
    if day and day < told_on:
        raise forms.ValidationError(f"They told of it on {told_on:%-d %B %Y}, a later day than this.")
    return day


class ConfirmForm(forms.Form):
    confirmed_on = PastDayField(label="They said so on")

    def __init__(self, *args, told_on: date, **options):
        super().__init__(*args, **options)
        self.told_on = told_on

    def clean_confirmed_on(self):
        return not_before(self.told_on, self.cleaned_data["confirmed_on"])


class CloseCallBackForm(ConfirmForm):
    outcome = forms.ChoiceField(label="How it ended", choices=CallBackOutcome, widget=forms.RadioSelect)
    found = forms.CharField(
        label="What was found",
        max_length=1500,
        widget=forms.Textarea(attrs={"rows": 4, "data-wide": ""}),
        help_text="It may go into the history that stays with the piano: name nobody.",
    )
    confirmed_on = PastDayField(
        label="The customer said that it is right on",
        required=False,
        help_text="Empty while they have not: what is put right then waits for their word.",
    )

    field_order = ("outcome", "found", "confirmed_on")

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("confirmed_on") and cleaned.get("outcome") not in (None, CallBackOutcome.PUT_RIGHT):
            self.add_error("confirmed_on", "Only what was put right is confirmed. Leave the day out.")
        return cleaned
