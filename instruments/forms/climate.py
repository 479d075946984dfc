"""The air of a room, and two readings held side by side."""

from django import forms

from instruments.forms.fields import MOST_DIGITS, NumberField, PastDayField
from instruments.models import ClimateReading, Instrument
from instruments.states import Whose

MOST_OFFERED = 100


class ClimateForm(forms.Form):
    whose = forms.ChoiceField(label="Whose room", choices=Whose, widget=forms.RadioSelect, initial=Whose.OURS)
    room = forms.CharField(
        label="Room",
        max_length=80,
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "rooms"}),
        help_text="Always by the same name: Workshop, Showroom; or Salt Lane 4, front room.",
    )
    temperature_c = NumberField(
        label="Temperature", min_value=-40, max_value=60, max_digits=3, decimal_places=1
    )
    humidity_percent = NumberField(
        label="Humidity", min_value=0, max_value=100, max_digits=4, decimal_places=1
    )
    read_on = PastDayField(label="Read on")
    beside = forms.CharField(
        label="Beside which instrument",
        required=False,
        max_length=30,
        help_text="Its stock number, where one stands there or is to stand there.",
    )
    note = forms.CharField(
        label="Note", required=False, max_length=300, help_text="Heating, stove, sun, outer wall."
    )

    def __init__(self, *args, today, beside: str = "", **options):
        super().__init__(*args, initial={"read_on": today, "beside": beside}, **options)
        self.fields["temperature_c"].unit = "°C"
        self.fields["humidity_percent"].unit = "% RH"

    def clean_beside(self) -> Instrument | None:
        number = self.cleaned_data["beside"]
        if not number:
            return None
        found = Instrument.objects.filter(stock_number__iexact=number).first()
        if found is None:
            raise forms.ValidationError(f"There is no {number} in stock.")
        return found

    def reading(self) -> dict:
        """What `record_climate` takes besides who."""
        names = ("whose", "room", "temperature_c", "humidity_percent", "note")
        return {name: self.cleaned_data[name] for name in names} | {
            "on": self.cleaned_data["read_on"],
            "instrument": self.cleaned_data["beside"],
        }


class ReadingField(forms.ModelChoiceField):
    """A reading chosen by its number; one too large for the database is as unknown as any other."""

    def to_python(self, value):
        if value and len(str(value)) > MOST_DIGITS:
            raise forms.ValidationError("That reading is not on file.", code="invalid_choice")
        return super().to_python(value)


class RoomMoveForm(forms.Form):
    """From one reading to another."""

    before = ReadingField(
        label="From", queryset=ClimateReading.objects.none(), empty_label="Choose a reading"
    )
    after = ReadingField(label="To", queryset=ClimateReading.objects.none(), empty_label="Choose a reading")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        newest = list(ClimateReading.objects.values_list("pk", flat=True)[:MOST_OFFERED])
        for name in ("before", "after"):
            self.fields[name].queryset = ClimateReading.objects.filter(pk__in=newest)
