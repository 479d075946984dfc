from django import forms


class WaiverForm(forms.Form):
    reason = forms.CharField(
        label="Why it need not stay as it came",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Such as: the buyer is a business; or the buyer agreed in writing to take money instead.",
    )
