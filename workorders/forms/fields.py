from django import forms
from django.contrib.auth.models import User

from workorders.calc.durations import minutes_words, parse_minutes
from workorders.calc.money import parse_minor
from workorders.currency import exponent, plain, symbol

MOST_USUAL_MINUTES = 60_000


class MoneyField(forms.Field):
    """An amount typed by a person ("1,250", "£1 250.50"), kept in whole minor units; None when left empty."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "class": "money"})
    asks_for = "give an amount, such as 1,250"

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


class MinutesField(forms.Field):
    """Time as typed at the bench ("1 h 30", "90"), kept in whole minutes; None when left empty."""

    widget = forms.TextInput(attrs={"autocomplete": "off"})
    asks_for = "give a time, such as 90 or 1 h 30"

    def __init__(self, **options):
        options.setdefault("help_text", "90, 1 h 30 or 1:30.")
        super().__init__(**options)

    def prepare_value(self, value):
        return minutes_words(value) if isinstance(value, int) else value

    def to_python(self, value) -> int | None:
        text = str(value or "").strip()
        if not text:
            return None
        try:
            return parse_minutes(text)
        except ValueError as wrong:
            raise forms.ValidationError(str(wrong), code="minutes") from wrong


def at_least_one(minutes: int) -> int:
    if not 0 < minutes <= MOST_USUAL_MINUTES:
        raise forms.ValidationError("Give a time between one minute and 1,000 hours.", code="minutes")
    return minutes


class PersonField(forms.ModelChoiceField):
    """Somebody who works at the bench."""

    def __init__(self, **options):
        super().__init__(queryset=User.objects.none(), **options)

    def label_from_instance(self, person) -> str:
        return person.get_full_name() or person.get_username()


def bench_people():
    """Active people with the right to do bench work, by name."""
    return User.objects.with_perm(
        "workorders.do_work",
        backend="django.contrib.auth.backends.ModelBackend",
        include_superusers=True,
    ).order_by("first_name", "last_name", "username")
