"""Fields for what people half know, measure with a tape, or pick with a thumb."""

from dataclasses import dataclass
from decimal import Decimal

from django import forms
from django.urls import reverse_lazy
from django.utils import timezone

from instruments.calc.compass import parse_keys
from instruments.calc.edtf import describe, from_plain_words

AS_A_MACHINE_WRITES = str.maketrans({",": ".", "\N{MINUS SIGN}": "-"})


class HalfKnownDateField(forms.CharField):
    """A date in plain words, kept as EDTF: "about 1912" becomes 1912~. Pages show what was understood."""

    asks_for = "give a date in your own words, such as about 1912"
    widget = forms.TextInput(
        attrs={
            "autocomplete": "off",
            "placeholder": "about 1912",
            "hx-get": reverse_lazy("instruments:date_read"),
            "hx-trigger": "input changed delay:250ms",
            "hx-target": "next .date-read",
            "hx-sync": "this:replace",
        }
    )

    def __init__(self, **options):
        options.setdefault("max_length", 60)
        options.setdefault("help_text", "In your own words: 1912, about 1912, 1910 to 1914, 1910s.")
        super().__init__(**options)

    def clean(self, value) -> str:
        try:
            edtf = from_plain_words(value or "")
        except ValueError as reason:
            raise forms.ValidationError(str(reason), code="date") from reason
        return super().clean(edtf)


class NumberField(forms.DecimalField):
    """A number typed with point or comma; the phone shows its keypad of figures."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def __init__(self, *, localize: bool = False, **options):
        options.setdefault("error_messages", {"invalid": "Give a number, such as 122 or 122.5."})
        super().__init__(localize=localize, **options)

    def to_python(self, value) -> Decimal | None:
        return super().to_python(value.translate(AS_A_MACHINE_WRITES) if isinstance(value, str) else value)

    def prepare_value(self, value):
        return f"{value.normalize():f}" if isinstance(value, Decimal) else value


class CentimetreField(NumberField):
    unit = "cm"

    def to_python(self, value) -> Decimal | None:
        measured = super().to_python(value)
        if measured is not None and measured.is_finite() and not 20 <= measured <= 400:
            raise forms.ValidationError(
                f"{value} is not a measure of a piano in centimetres. Write 122 for 1.22 metres.", code="unit"
            )
        return measured


class DayField(forms.DateField):
    """A day, picked from the browser's own calendar."""

    def __init__(self, **options):
        options.setdefault("widget", forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}))
        options.setdefault("error_messages", {"invalid": "Give a day, such as 21/03/2026."})
        super().__init__(**options)


MOST_DIGITS = 18  # of a row's number; a database counts to nineteen digits


class RowsField(forms.ModelMultipleChoiceField):
    """Rows chosen by their number; one too large for the database is as unknown as any other."""

    def clean(self, value):
        for number in value or ():
            if len(str(number)) > MOST_DIGITS:
                refusal = self.error_messages["invalid_choice"]
                raise forms.ValidationError(refusal, code="invalid_choice", params={"value": number})
        return super().clean(value)


class PastDayField(DayField):
    """A day on which something happened: today at the latest."""

    def clean(self, value):
        day = super().clean(value)
        if day and day > timezone.localdate():
            raise forms.ValidationError("That day has not come yet.", code="future")
        return day


class KeysField(forms.CharField):
    """Keys of one instrument as people name them: "1-12, C4, all sharps"."""

    asks_for = "name the keys, such as 1-12, C4, all sharps"

    def __init__(self, *, instrument=None, **options):
        self.instrument = instrument
        options.setdefault("label", "Keys concerned")
        options.setdefault("max_length", 200)
        options.setdefault("required", False)
        options.setdefault("help_text", "1 to 12, C4, all sharps.")
        super().__init__(**options)

    def clean(self, value) -> str:
        typed = super().clean(value)
        try:
            parse_keys(typed, self.instrument.first_key, self.instrument.key_count)
        except ValueError as reason:
            raise forms.ValidationError(str(reason), code="keys") from reason
        return typed


@dataclass(frozen=True)
class DateReading:
    """How a typed date was understood, or why it was not."""

    edtf: str = ""
    words: str = ""
    refusal: str = ""


def reading_of(typed: str) -> DateReading:
    try:
        edtf = from_plain_words(typed or "")
    except ValueError as reason:
        return DateReading(refusal=str(reason))
    return DateReading(edtf, describe(edtf)) if edtf else DateReading()
