from django import forms

from instruments.forms.fields import DayField


class RangeForm(forms.Form):
    """From one day to another, both included; either may be left open."""

    since = DayField(label="From", required=False)
    until = DayField(label="To", required=False)

    def clean(self):
        cleaned = super().clean()
        since, until = cleaned.get("since"), cleaned.get("until")
        if since and until and until < since:
            self.add_error("until", "The last day comes before the first.")
        return cleaned
