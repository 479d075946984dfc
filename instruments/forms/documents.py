from django import forms

from instruments.forms.fields import HalfKnownDateField
from instruments.models import Document
from instruments.photos import LARGEST_BYTES
from instruments.pictures import PhotoRefused
from instruments.scans import PreparedScan, ScanRefused, prepare_scan
from instruments.states import WhoMaySee

ACCEPTED = "application/pdf,image/jpeg,image/png,image/webp,image/heic,image/heif,.heic,.heif"


class ScanField(forms.FileField):
    """One PDF or picture. What comes out is checked and ready to be stored."""

    widget = forms.FileInput(attrs={"accept": ACCEPTED, "data-max-bytes": LARGEST_BYTES})

    def clean(self, data, initial=None) -> PreparedScan | None:
        if not data:
            raise forms.ValidationError("Choose the file.", code="required")
        try:
            return prepare_scan(data)
        except (ScanRefused, PhotoRefused) as refused:
            raise forms.ValidationError(refused.sentence, code="refused") from refused


class DocumentForm(forms.ModelForm):
    file = ScanField(
        label="The scan", help_text="PDF, JPEG, PNG, WebP or HEIC, up to 30 MB. Kept byte for byte."
    )

    class Meta:
        model = Document
        fields = ("title", "dated", "seen_by")
        field_classes = {"dated": HalfKnownDateField}
        widgets = {
            "title": forms.TextInput(attrs={"autocomplete": "off"}),
            "seen_by": forms.RadioSelect,
        }
        help_texts = {
            "title": "An invoice of 1912, the card under the lid, a letter.",
            "seen_by": "Never the public.",
        }

    def __init__(self, *args, user, **options):
        super().__init__(*args, **options)
        if not user.has_perm("instruments.see_private_documents"):
            self.fields["seen_by"].choices = [(WhoMaySee.STAFF.value, WhoMaySee.STAFF.label)]
        self.order_fields(["file", *self.Meta.fields])

    def said(self) -> dict:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}
