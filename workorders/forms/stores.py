"""What is kept in the stores, and what comes, is counted and is written off."""

from decimal import Decimal

from django import forms
from django.db.models import Q
from django.db.models.functions import Lower

from instruments.calc.exact import plain
from instruments.calc.strings import gauge_diameter_mm
from instruments.forms.fields import NumberField, PastDayField
from workorders.forms.fields import MoneyField
from workorders.models import Consumable
from workorders.store_states import SIZED_KINDS, ConsumableKind, Hazard

SAME_SIZE_MM = Decimal("0.007")  # as near as `calc.strings` takes a diameter for a gauge


class ConsumableForm(forms.ModelForm):
    gauge = NumberField(
        label="Gauge",
        max_digits=3,
        decimal_places=1,
        min_value=0,
        required=False,
        help_text="Steel wire only.",
    )
    diameter_mm = NumberField(
        label="Diameter",
        max_digits=6,
        decimal_places=3,
        min_value=Decimal("0.1"),
        required=False,
        help_text="Tables of gauges differ, so millimetres are kept. Left empty, a gauge's own are taken.",
    )
    low_mark = NumberField(
        label="Low when down to",
        max_digits=9,
        decimal_places=2,
        min_value=0,
        required=False,
        help_text="It then comes first in the list, to be ordered.",
    )

    class Meta:
        model = Consumable
        fields = [
            *("kind", "name", "unit", "gauge", "gauge_table", "diameter_mm", "size"),
            *("low_mark", "location", "supplier_note", "hazard", "note", "in_use"),
        ]
        labels = {
            "unit": "Counted or measured in",
            "size": "Size as its maker numbers it",
            "hazard": "Hazard",
        }
        help_texts = {
            "size": "For pins, wound strings and leads: “20”, “2/0, 60 mm”, “bass 12, double wound”."
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["diameter_mm"].unit = "mm"
        self.fields["gauge_table"].choices = [("", "No gauge"), *self.fields["gauge_table"].choices[1:]]
        self.fields["hazard"].choices = Hazard.choices

    def clean_name(self):
        name = " ".join(self.cleaned_data["name"].split())
        others = Consumable.objects.exclude(pk=self.instance.pk).annotate(lower=Lower("name"))
        if others.filter(lower=name.lower()).exists():
            raise forms.ValidationError("The stores have something of that name already.")
        return name

    def clean(self):
        cleaned = super().clean()
        kind = cleaned.get("kind")
        if kind == ConsumableKind.STRINGS:
            self._clean_gauge(cleaned)
        else:
            cleaned["gauge"], cleaned["gauge_table"] = None, ""
        if kind in SIZED_KINDS and not (cleaned.get("size") or cleaned.get("diameter_mm")):
            self.add_error("size", "Pins are kept by their size: give its number, its diameter, or both.")
        if kind == ConsumableKind.LEADS:
            cleaned["hazard"] = Hazard.LEAD
        return cleaned

    def _clean_gauge(self, cleaned) -> None:
        gauge, table, diameter = cleaned.get("gauge"), cleaned.get("gauge_table"), cleaned.get("diameter_mm")
        if gauge is not None and not table:
            self.add_error("gauge_table", "Say which table the gauge is of: they differ.")
        elif table and gauge is None and "gauge" not in self.errors:
            self.add_error("gauge", "Give the gauge, or choose no table.")
        elif gauge is not None:
            cleaned["diameter_mm"] = self._width_of(gauge, table, diameter)
        elif diameter is None and "diameter_mm" not in self.errors:
            self.add_error("diameter_mm", "Give the diameter in millimetres.")

    def _width_of(self, gauge: Decimal, table: str, diameter: Decimal | None) -> Decimal | None:
        """The diameter given, held against the table where that is agreed on; else the table's own."""
        try:
            by_table = Decimal(f"{gauge_diameter_mm(float(gauge), table).diameter_mm:.3f}")
        except ValueError as reason:
            if diameter is None:
                self.add_error("diameter_mm", str(reason))
            return diameter
        if diameter is not None and abs(diameter - by_table) > SAME_SIZE_MM:
            named = f"Gauge {plain(gauge)} of the {table} table is {plain(by_table)} mm"
            self.add_error("diameter_mm", f"{named}: change one of the two, or give no gauge.")
        return diameter or by_table


def stock_choices(empty: str, *, also=()) -> list:
    """What is kept in the stores by kind, each with how much of it is there, after a choice of none of it.

    `also` are consumables no longer kept that somebody has chosen before. One query.
    """
    stores = Consumable.objects.filter(Q(in_use=True) | Q(pk__in=also)).with_stock()
    groups: dict[str, list] = {}
    for each in stores.order_by("kind", "diameter_mm", "name"):
        there = each.amount_words(round(each.on_hand, 2)) if each.on_hand else "none"
        groups.setdefault(each.get_kind_display(), []).append((str(each.pk), f"{each}: {there} on hand"))
    return [("", empty), *groups.items()]


class ConsumableField(forms.ChoiceField):
    """One of the stores' consumables, or None; give it the choices of `stock_choices`."""

    def clean(self, value) -> Consumable | None:
        chosen = super().clean(value)
        return Consumable.objects.get(pk=chosen) if chosen else None


class AmountForm(forms.Form):
    quantity = NumberField(label="How many, or how much", max_digits=9, decimal_places=2)
    on = PastDayField(label="On")

    def __init__(self, *args, consumable: Consumable, today, **options):
        super().__init__(*args, **options)
        self.fields["on"].initial = today
        amount = self.fields.get("quantity") or self.fields["counted"]
        amount.unit = consumable.get_unit_display()

    def clean_quantity(self):
        quantity = self.cleaned_data["quantity"]
        if quantity <= 0:
            raise forms.ValidationError("Give how many or how much, above 0.")
        return quantity


class ReceiveForm(AmountForm):
    cost_minor = MoneyField(
        label="Cost of all of it",
        help_text="As the supplier billed it, with its share of the carriage; 0 for what cost nothing.",
    )
    note = forms.CharField(
        label="From whom, or the bill's number", max_length=200, required=False, strip=True
    )

    field_order = ["quantity", "cost_minor", "on", "note"]


class CountForm(AmountForm):
    quantity = None
    counted = NumberField(label="Counted", max_digits=9, decimal_places=2, min_value=0)
    why = forms.CharField(label="Why, or on what occasion", max_length=200)
    cost_minor = MoneyField(
        label="Cost of what was found on top",
        required=False,
        help_text="Only for more than the books say. Left empty, it counts for the average of what is there.",
    )

    field_order = ["counted", "why", "cost_minor", "on"]


class WriteOffForm(AmountForm):
    why = forms.CharField(
        label="Why", max_length=200, help_text="Rusted, eaten by moth, dried up in the tin."
    )

    field_order = ["quantity", "why", "on"]
