from django import forms

from workorders.calc.money import parse_minor
from workorders.currency import exponent, plain, symbol


class MoneyField(forms.Field):
    """An amount typed by a person ("1,250", "£1 250.50"), kept in whole minor units; None when left empty."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "money"})

    def __init__(self, **options):
        super().__init__(**options)
        self.prefix = symbol()

    def prepare_value(self, value):
        return plain(value) if isinstance(value, int) else value

    def to_python(self, value) -> int | None:
        text = str(value or "").strip()
        if not text:
            return None
        try:
            return parse_minor(text, exponent())
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong), code="amount") from wrong

    def has_changed(self, initial, data) -> bool:
        try:
            return self.to_python(data) != initial
        except forms.ValidationError:
            return True
