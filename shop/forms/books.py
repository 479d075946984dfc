"""Which lines of the books are shown, closing a period, rates, and whether an instrument is an antique."""

from django import forms
from django.db.models import QuerySet

from instruments.forms.fields import DayField, NumberField
from shop.models import AgeChoice, BookLine, TaxRate
from shop.states import LineKind

WHICH = [
    ("", "All of them"),
    (LineKind.BOUGHT, "What we bought"),
    (LineKind.SOLD, "What we sold"),
    (LineKind.FEE, "Fees we charged"),
]


class LinesForm(forms.Form):
    """Filters; what cannot be read leaves the list whole and says so."""

    since = DayField(label="Entered from", required=False)
    until = DayField(label="Entered until", required=False)
    kind = forms.ChoiceField(label="Which lines", required=False, choices=WHICH)

    def found(self) -> QuerySet:
        lines = BookLine.objects.all()
        if not self.is_valid():
            return lines
        chosen = self.cleaned_data
        if chosen["since"]:
            lines = lines.filter(entered_on__gte=chosen["since"])
        if chosen["until"]:
            lines = lines.filter(entered_on__lte=chosen["until"])
        return lines.filter(kind=chosen["kind"]) if chosen["kind"] else lines


class PeriodForm(forms.Form):
    starts_on = DayField(label="First day")
    ends_on = DayField(label="Last day")

    def clean(self):
        cleaned = super().clean()
        first, last = cleaned.get("starts_on"), cleaned.get("ends_on")
        if first and last and last < first:
            self.add_error("ends_on", f"That lies before the first day, {first:%-d %B %Y}.")
        return cleaned


class TaxRateForm(forms.ModelForm):
    percent = NumberField(label="Rate", min_value=0, max_value=99, max_digits=6, decimal_places=3)
    starts_on = DayField(label="First day")

    class Meta:
        model = TaxRate
        fields = ["percent", "starts_on", "source"]
        labels = {"source": "Where it is written"}
        help_texts = {"source": "The law, the office’s letter or page, and when you looked."}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["percent"].unit = "%"


class AgeForm(forms.ModelForm):
    class Meta:
        model = AgeChoice
        fields = ["label", "why"]
        widgets = {"label": forms.RadioSelect, "why": forms.TextInput}
        help_texts = {"why": "What speaks for it: a dated part, a ledger, a letter."}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["label"].choices = [choice for choice in self.fields["label"].choices if choice[0]]
