from django import forms

from instruments.forms.fields import NumberField
from shop.forms.colleagues import ColleagueField
from shop.forms.people import MailField
from shop.models import ShopProfile
from shop.models.profile import TOUCH
from shop.states import TaxScheme
from shop.tax_rates import countries
from workorders.forms.fields import MoneyField

COSTING = (
    *("storage_week_minor", "storage_free_weeks", "reserve_percent", "reserve_fixed_minor"),
    *("guarantee_months", "wanted_profit_minor"),
)
ENQUIRIES = ("enquiry_days", "enquiry_months", "enquiries_to", "work_enquiries_to")
HOLD_FIGURES = ("hold_days", "hold_full_days", "hold_keep_percent", "hold_large_percent")
HOLDS = (*HOLD_FIGURES, "hold_keep_most_minor")


class ProfileForm(forms.ModelForm):
    email = MailField()
    public_address = forms.URLField(
        label="Address of the window on the web",
        required=False,
        assume_scheme="https",
        help_text="Printed as a code on sale sheets.",
    )

    tax_country = forms.ChoiceField(
        label="Country whose rates apply",
        required=False,
        help_text="Rates with their days, and your own, are under Books. Take licensed advice on the scheme.",
    )

    storage_week_minor = MoneyField(
        label="A week of floor for one instrument",
        help_text="It accrues in its true cost while it stands with us.",
    )
    reserve_fixed_minor = MoneyField(label="And a fixed sum for the guarantee")
    wanted_profit_minor = MoneyField(
        label="Profit wanted of an instrument", help_text="Part of its price floor; each may have its own."
    )

    hold_keep_most_minor = MoneyField(
        label="And of a deposit never more than", required=False, help_text="Left empty: no further limit."
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
            "tax_country",
            "trial_days",
            "reminds_customers",
            *COSTING,
            *HOLDS,
            *TOUCH,
            "keep_years",
            *ENQUIRIES,
            "delivery_words",
            "guarantee_words",
        ]
        widgets = {
            name: forms.Textarea(attrs={"rows": 3})
            for name in ("address", "delivery_words", "guarantee_words")
        }
        field_classes = dict.fromkeys((*TOUCH, "reserve_percent"), NumberField)
        help_texts = {"touch_bass_g": "What an instrument is logged with from now on; each may have its own."}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["reserve_percent"].unit = "%"
        self.fields["tax_country"].choices = [
            *((each.code, each.name) for each in countries()),
            ("US", "United States"),
            ("", "Elsewhere: our own rates only"),
        ]
        for name in ("hold_keep_percent", "hold_large_percent"):
            self.fields[name].unit = "%"
        for name in TOUCH:
            self.fields[name].unit = "g"
        for name in ("enquiries_to", "work_enquiries_to"):
            self.fields[name] = ColleagueField(label=self.fields[name].label, required=False)
        for name in (*COSTING, *HOLDS, "enquiry_days", "enquiry_months"):
            self.fields[name].required = False

    def clean(self):
        cleaned = super().clean()
        for name in HOLD_FIGURES:  # left empty: as it was
            if cleaned.get(name) is None and name not in self.errors:
                cleaned[name] = self.initial[name]
        full, whole = cleaned.get("hold_full_days"), cleaned.get("hold_days")
        if full is not None and whole is not None and full > whole:
            self.add_error("hold_full_days", f"A hold itself lasts {whole} days: give as many at most.")
        for name in ("enquiry_days", "enquiry_months"):  # left empty: as it was
            if cleaned.get(name) is None and name not in self.errors:
                cleaned[name] = self.initial[name]
        for name in COSTING:  # left empty: none
            if cleaned.get(name) is None and name not in self.errors:
                cleaned[name] = 0
        area = next((each.area for each in countries() if each.code == cleaned.get("tax_country")), "")
        if cleaned.get("tax_scheme") == TaxScheme.MARGIN and area != "uk":
            self.add_error("tax_scheme", "The UK margin scheme goes with the rates of the United Kingdom.")
        if cleaned.get("tax_scheme") == TaxScheme.MARGIN_EU and area != "eu":
            self.add_error("tax_scheme", "The EU margin scheme goes with the rates of a country of the EU.")
        return cleaned
