"""A customer's own instrument: what it is, whose, how it came, until when; and its way home."""

from django import forms

from instruments.forms.fields import DayField
from instruments.forms.identity import IdentityForm
from instruments.forms.photos import PhotosField, ReceivedPhotos
from instruments.models import ConditionReport
from instruments.states import Place
from shop.forms.people import PersonChoice, PersonPickMixin
from shop.forms.promises import NewPersonFields

PAPER = ("until", "condition", "accessories", "terms")


class PaperFields(NewPersonFields):
    """What the receipt says beside the instrument itself."""

    person = PersonChoice(label="Whose it is")
    until = DayField(label="To be collected or brought back by")
    condition = forms.CharField(
        label="Condition as it came",
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="What both of you see now: scratches, missing parts, sticking keys.",
    )
    accessories = forms.CharField(
        label="What came with it",
        max_length=300,
        required=False,
        help_text="Stool, fall key, candle holders.",
    )
    terms = forms.CharField(
        label="Keeping it here",
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Storage after that day, who insures it, who moves it.",
    )

    def __init__(self, *args, today, **options):
        super().__init__(*args, **options)
        self.today = today

    def clean_until(self):
        until = self.cleaned_data["until"]
        if until < self.today:
            raise forms.ValidationError("That day has passed.")
        return until

    def paper(self) -> dict:
        return {name: self.cleaned_data[name] for name in PAPER}


class TakeInForm(PersonPickMixin, PaperFields, IdentityForm):
    """An instrument that has not been here before."""

    place = forms.ChoiceField(label="Where it is", choices=Place, initial=Place.WORKSHOP, required=False)
    photos = PhotosField(required=False)

    def clean_place(self) -> str:
        return self.cleaned_data["place"] or Place.WORKSHOP

    @property
    def received(self) -> ReceivedPhotos:
        return getattr(self, "cleaned_data", {}).get("photos") or ReceivedPhotos()

    def whole_identity(self) -> dict:
        return self.identity() | {"place": self.cleaned_data["place"]}


class TakeInAgainForm(PersonPickMixin, PaperFields):
    """A piano on file that comes in for work."""

    report = forms.ModelChoiceField(
        label="Condition report",
        queryset=ConditionReport.objects.none(),
        required=False,
        empty_label="None to point at",
    )

    def __init__(self, *args, instrument, **options):
        super().__init__(*args, **options)
        self.fields["report"].queryset = instrument.condition_reports.all()

    def paper(self) -> dict:
        return super().paper() | {"report": self.cleaned_data["report"]}


class HandBackForm(forms.Form):
    to = forms.CharField(label="Handed to", max_length=120)
    note = forms.CharField(
        label="Anything to tell", max_length=300, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
