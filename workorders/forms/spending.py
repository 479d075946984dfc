"""Time, parts and the rates that cost them."""

from decimal import Decimal

from django import forms
from django.utils import timezone

from instruments.forms.fields import DayField, NumberField
from workorders.forms.fields import MinutesField, MoneyField, PersonField, bench_people
from workorders.forms.items import within_a_day


class SpendingForm(forms.Form):
    on = DayField(label="On")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.today = timezone.localdate()
        self.fields["on"].initial = self.today

    def clean_on(self):
        on = self.cleaned_data["on"]
        if on > self.today:
            raise forms.ValidationError("That day is still to come.")
        return on


class TimeForm(SpendingForm):
    minutes = MinutesField(label="Time")
    person = PersonField(label="Who", empty_label=None)
    note = forms.CharField(max_length=200, required=False)

    field_order = ["minutes", "on", "person", "note"]

    def __init__(self, *args, by, **options):
        super().__init__(*args, **options)
        self.fields["person"].queryset = bench_people()
        self.fields["person"].initial = by.pk

    def clean_minutes(self):
        return within_a_day(self.cleaned_data["minutes"])


class PartForm(SpendingForm):
    name = forms.CharField(label="What was used", max_length=120)
    quantity = NumberField(label="How many, or how much", max_digits=9, decimal_places=2, initial=Decimal(1))
    cost_minor = MoneyField(
        label="Cost of all of them",
        required=False,
        help_text="Leave it empty when you do not know; the line then says that no cost was given.",
    )

    field_order = ["name", "quantity", "cost_minor", "on"]

    def clean_quantity(self):
        quantity = self.cleaned_data["quantity"]
        if quantity <= 0:
            raise forms.ValidationError("Give how many or how much was used, above 0.")
        return quantity


class RateForm(forms.Form):
    person = PersonField(label="Whose hour", required=False, empty_label="Everybody's")
    per_hour_minor = MoneyField(label="Costs the shop, an hour")
    since = DayField(label="From", help_text="Time already written down keeps its cost.")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["person"].queryset = bench_people()
        self.fields["since"].initial = timezone.localdate()
