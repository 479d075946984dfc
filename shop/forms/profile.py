from django import forms

from instruments.forms.fields import NumberField
from shop.forms.people import MailField
from shop.models import ShopProfile
from shop.models.profile import TOUCH


class ProfileForm(forms.ModelForm):
    email = MailField()
    public_address = forms.URLField(
        label="Address of the window on the web",
        required=False,
        assume_scheme="https",
        help_text="Printed as a code on sale sheets.",
    )

    class Meta:
        model = ShopProfile
        fields = [
            "name",
            "address",
            "telephone",
            "email",
            "vat_number",
            "public_address",
            "jurisdiction",
            "tax_scheme",
            "tax_rate_percent",
            "trial_days",
            "credit_percent",
            *TOUCH,
            "delivery_words",
            "guarantee_words",
        ]
        labels = {"tax_rate_percent": "Tax rate"}
        widgets = {
            name: forms.Textarea(attrs={"rows": 3})
            for name in ("address", "delivery_words", "guarantee_words")
        }
        field_classes = dict.fromkeys(TOUCH, NumberField)
        help_texts = {"touch_bass_g": "What an instrument is logged with from now on; each may have its own."}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for name in ("tax_rate_percent", "credit_percent"):
            self.fields[name].unit = "%"
        for name in TOUCH:
            self.fields[name].unit = "g"
