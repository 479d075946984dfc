from decimal import Decimal

from django import forms

from instruments.forms.fields import NumberField
from shop.calc.offer import SWUNG
from shop.models import OfferCalculation
from workorders.forms.fields import MoneyField

HELP = {
    "sale_minor": "What such a piano brings in this place, finished: look at three sales, not at one wish.",
    "parts_minor": "Strings, hammers, felt, polishing, key tops.",
    "tuning_minor": "Those before the sale, and those included in it.",
    "storage_minor": "Weeks it will stand, at what a week of floor costs.",
    "reserve_minor": "For the call-backs of the guarantee. No figure is published: start from one visit and "
    "one tuning.",
}


class OfferForm(forms.Form):
    note = forms.CharField(label="What it rests on", max_length=300, required=False)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields = {name: _field(name) for name in SWUNG} | self.fields

    def clean(self):
        cleaned = super().clean()
        for name in SWUNG:
            if name in cleaned and cleaned[name] is None:
                cleaned[name] = Decimal(0) if name == "hours" else 0
        return cleaned

    def values(self) -> dict:
        return {name: self.cleaned_data[name] for name in SWUNG}


def _field(name: str) -> forms.Field:
    label = str(OfferCalculation._meta.get_field(name).verbose_name)
    label = f"{label[:1].upper()}{label[1:]}"
    if name == "hours":
        hours = NumberField(label=label, required=False, min_value=0, max_value=2000, decimal_places=2)
        hours.unit = "h"
        return hours
    return MoneyField(label=label, required=name == "sale_minor", help_text=HELP.get(name, ""))
