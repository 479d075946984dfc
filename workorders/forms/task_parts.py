"""The typical parts of a task: a few lines, each from the stores or by name."""

from django import forms

from instruments.forms.fields import NumberField
from workorders.forms.stores import ConsumableField, stock_choices
from workorders.models import Task, TaskPart

MOST = 20
EMPTY_LINES = 3


class TaskPartsForm(forms.Form):
    def __init__(self, *args, task: Task, **options):
        super().__init__(*args, **options)
        parts = list(task.typical_parts.all()[:MOST])
        self.count = min(MOST, len(parts) + EMPTY_LINES)
        choices = stock_choices("Not from the stores", also=[part.consumable_id for part in parts])
        for number in range(self.count):
            part = parts[number] if number < len(parts) else None
            self._add_line(number, part, choices)

    def _add_line(self, number: int, part: TaskPart | None, choices: list) -> None:
        initial = str(part.consumable_id or "") if part else ""
        self.fields[f"consumable_{number}"] = ConsumableField(
            label="From the stores", choices=choices, required=False, initial=initial
        )
        self.fields[f"name_{number}"] = forms.CharField(
            label="Or by name", max_length=100, required=False, initial=part.name if part else ""
        )
        self.fields[f"quantity_{number}"] = NumberField(
            label="How many, or how much",
            max_digits=9,
            decimal_places=2,
            required=False,
            initial=part.quantity if part else None,
        )

    @property
    def lines(self) -> list[tuple]:
        names = ("consumable", "name", "quantity")
        return [tuple(self[f"{name}_{number}"] for name in names) for number in range(self.count)]

    def clean(self):
        cleaned = super().clean()
        self.parts = [part for number in range(self.count) if (part := self._part_of(number, cleaned))]
        return cleaned

    def _part_of(self, number: int, cleaned: dict) -> TaskPart | None:
        """The line as a part; None for an empty line, or one with a mistake in it."""
        consumable, name = cleaned.get(f"consumable_{number}"), cleaned.get(f"name_{number}") or ""
        quantity = cleaned.get(f"quantity_{number}")
        if not consumable and not name:
            if quantity is not None:
                self.add_error(f"name_{number}", "Say what it is, or take the figure out.")
            return None
        if consumable and name:
            self.add_error(f"name_{number}", "Choose something from the stores or give a name, not both.")
        if quantity is None or quantity <= 0:
            if f"quantity_{number}" not in self.errors:
                self.add_error(f"quantity_{number}", "Give how many or how much, above 0.")
            return None
        return TaskPart(consumable=consumable, name=name, quantity=quantity)
