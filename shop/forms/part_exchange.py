from django import forms

from instruments.forms.fields import PastDayField


class HandOverForm(forms.Form):
    handed_over_on = PastDayField(label="The buyer had it on")


class WaiverForm(forms.Form):
    reason = forms.CharField(
        label="Why it need not stay as it came",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Such as: the buyer is a business; or the buyer agreed in writing to take money instead.",
    )
