from django import forms

from shop.forms.people import MailField
from shop.models import ShopProfile


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
            "delivery_words",
            "guarantee_words",
        ]
        labels = {"tax_rate_percent": "Tax rate"}
        widgets = {
            name: forms.Textarea(attrs={"rows": 3})
            for name in ("address", "delivery_words", "guarantee_words")
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for name in ("tax_rate_percent", "credit_percent"):
            self.fields[name].unit = "%"
