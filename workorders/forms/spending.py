"""Time, parts and the rates that cost them."""

from decimal import Decimal

from django import forms
from django.utils import timezone

from instruments.forms.fields import DayField, NumberField
from workorders.actions.bench import Use
from workorders.forms.fields import MinutesField, MoneyField, PersonField, bench_people
from workorders.forms.items import within_a_day
from workorders.forms.stores import ConsumableField, stock_choices
from workorders.models import WorkItem
from workorders.stock import typical_parts_of


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
    """Parts of an item: what its task usually takes, something from the stores, or anything by name."""

    consumable = ConsumableField(label="From the stores", required=False)
    name = forms.CharField(label="Or what was used, by name", max_length=120, required=False)
    quantity = NumberField(
        label="How many, or how much", max_digits=9, decimal_places=2, initial=Decimal(1), required=False
    )
    cost_minor = MoneyField(
        label="Cost of all of them",
        required=False,
        help_text="Only for what is not from the stores. Leave it empty when you do not know; the line then "
        "says that no cost was given.",
    )

    def __init__(self, *args, item: WorkItem, **options):
        super().__init__(*args, **options)
        self.fields["consumable"].choices = stock_choices("Not from the stores")
        self.typical = typical_parts_of(item)
        for part in self.typical:
            self.fields[f"use_{part.pk}"] = forms.BooleanField(label=part.what, required=False)
            self.fields[f"much_{part.pk}"] = NumberField(
                label="How many, or how much",
                max_digits=9,
                decimal_places=2,
                initial=part.quantity,
                required=False,
            )

    @property
    def typical_rows(self) -> list[tuple]:
        """Each typical part with its tick and its quantity."""
        return [(part, self[f"use_{part.pk}"], self[f"much_{part.pk}"]) for part in self.typical]

    def clean(self):
        cleaned = super().clean()
        self.uses = []
        for part in self.typical:
            if cleaned.get(f"use_{part.pk}"):
                self._use(f"much_{part.pk}", consumable=part.consumable, name=part.name)
        consumable, name = cleaned.get("consumable"), cleaned.get("name")
        if consumable and name:
            self.add_error("name", "Choose something from the stores or give a name, not both.")
        elif consumable and cleaned.get("cost_minor") is not None:
            self.add_error("cost_minor", "What comes from the stores brings its own cost.")
        elif consumable or name:
            self._use("quantity", consumable=consumable, name=name, cost_minor=cleaned.get("cost_minor"))
        elif not self.uses and not self.errors:
            self.add_error("name", "Say what was used.")
        return cleaned

    def _use(self, field: str, **what) -> None:
        quantity = self.cleaned_data.get(field)
        if quantity is None or quantity <= 0:
            if field not in self.errors:
                self.add_error(field, "Give how many or how much was used, above 0.")
            return
        self.uses.append(Use(quantity=quantity, **what))


class RateForm(forms.Form):
    person = PersonField(label="Whose hour", required=False, empty_label="Everybody's")
    per_hour_minor = MoneyField(label="Costs the shop, an hour")
    since = DayField(label="From", help_text="Time already written down keeps its cost.")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["person"].queryset = bench_people()
        self.fields["since"].initial = timezone.localdate()
