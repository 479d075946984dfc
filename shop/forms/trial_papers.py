"""Signing one of the papers of a home trial: drawn on the screen, or in ink with a picture of the page."""

from django import forms

from instruments.forms.fields import PastDayField
from instruments.photos import PhotoRefused
from instruments.scans import ScanRefused, prepare_scan
from shop.forms.signing import LONGEST_NAME, SigningFields
from shop.states import SigningWay


class SignSlipForm(SigningFields):
    way = forms.ChoiceField(
        label="Signed", choices=SigningWay.choices, widget=forms.RadioSelect, initial=SigningWay.SCREEN
    )
    customer_name = forms.CharField(label="Name of who signs", max_length=LONGEST_NAME)
    file = forms.FileField(label="Photograph or scan of the page signed in ink", required=False)
    signed_on = PastDayField(label="Signed in ink on", required=False)

    def clean_file(self):
        if not self.cleaned_data["file"]:
            return None
        try:
            return prepare_scan(self.cleaned_data["file"])
        except (ScanRefused, PhotoRefused) as refused:
            raise forms.ValidationError(refused.sentence) from refused

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("way") != SigningWay.PAPER:
            return cleaned
        if "file" not in self.errors and not cleaned.get("file"):
            self.add_error("file", "Choose the picture of the signed page.")
        if "signed_on" not in self.errors and not cleaned.get("signed_on"):
            self.add_error("signed_on", "Give the day on which it was signed.")
        return cleaned
