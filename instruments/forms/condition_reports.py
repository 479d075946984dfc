from datetime import date

from django import forms
from django.utils import timezone

from instruments.forms.fields import DayField, NumberField
from instruments.models import ConditionReport, Instrument


class ReportHeadForm(forms.ModelForm):
    """Why somebody walks round it, on which day, in which air."""

    looked_on = DayField(label="Looked at on")
    temperature_c = NumberField(
        label="Temperature", required=False, min_value=-30, max_value=60, max_digits=4, decimal_places=1
    )
    humidity_percent = NumberField(
        label="Humidity", required=False, min_value=0, max_value=100, max_digits=4, decimal_places=1
    )

    class Meta:
        model = ConditionReport
        fields = ("occasion", "looked_on", "temperature_c", "humidity_percent", "note")
        widgets = {"occasion": forms.RadioSelect, "note": forms.TextInput(attrs={"autocomplete": "off"})}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["occasion"].choices = self.fields["occasion"].choices[1:]
        self.fields["temperature_c"].unit, self.fields["humidity_percent"].unit = "°C", "% RH"

    def clean_looked_on(self) -> date:
        day = self.cleaned_data["looked_on"]
        if day > timezone.localdate():
            raise forms.ValidationError("That day has not come yet.", code="future")
        return day


class ComparisonForm(forms.Form):
    """Any two reports of one instrument."""

    one = forms.ModelChoiceField(ConditionReport.objects.none(), label="The earlier")
    two = forms.ModelChoiceField(ConditionReport.objects.none(), label="The later")

    def __init__(self, sent, *, instrument: Instrument):
        reports = instrument.condition_reports.order_by("looked_on", "id")
        pair = list(reports.values_list("pk", flat=True))
        initial = {"one": pair[0], "two": pair[-1]} if len(pair) > 1 else {}
        super().__init__(sent, initial=initial, auto_id="compare_%s")
        self.can_compare = len(pair) > 1
        for name in ("one", "two"):
            self.fields[name].queryset = reports
            self.fields[name].empty_label = None

    def clean(self) -> dict:
        cleaned = super().clean()
        if cleaned.get("one") and cleaned["one"] == cleaned.get("two"):
            raise forms.ValidationError("Choose two different reports.", code="same")
        return cleaned

    @property
    def in_order(self) -> tuple[ConditionReport, ConditionReport]:
        """Whichever way round they were chosen."""
        first, second = sorted(
            (self.cleaned_data["one"], self.cleaned_data["two"]),
            key=lambda report: (report.looked_on, report.pk),
        )
        return first, second


class CloseForm(forms.Form):
    """Nothing to fill in: pressing its button is all it says."""
