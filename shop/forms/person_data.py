"""What is written down when somebody asks for their data, or for it to go."""

from datetime import timedelta

from django import forms
from django.utils import timezone

from instruments.forms.fields import PastDayField
from shop.forms.joining import NamedForm
from shop.models import AskedHow

LONGEST_AGO = timedelta(days=365)


class AskedForm(forms.Form):
    asked_how = forms.ChoiceField(label="How they asked", choices=AskedHow)
    asked_on = PastDayField(
        label="When they asked",
        initial=timezone.localdate,
        help_text="The law gives a month to answer, counted from this day. Check your own law.",
    )

    def clean_asked_on(self):
        day = self.cleaned_data["asked_on"]
        earliest = timezone.localdate() - LONGEST_AGO
        if day < earliest:
            limit = f"{earliest:%-d %B %Y}"
            raise forms.ValidationError(f"That is more than a year ago. Give a day from {limit} on.")
        return day


class EraseForm(NamedForm, AskedForm):
    field_order = ["asked_how", "asked_on", "confirm"]
