"""What is written down while a home trial runs: one form a step."""

from django import forms

from instruments.calc.climate import COLDEST_C, HOTTEST_C
from instruments.forms.fields import DayField, NumberField, PastDayField
from instruments.photos import PhotoRefused
from instruments.scans import ScanRefused, prepare_scan
from shop.calc.access import doors, flights
from shop.trial_problems import extension_problems, mover_problems
from shop.trial_states import Heating
from workorders.forms.fields import MoneyField

ABOUT = forms.Textarea(attrs={"rows": 2})


class ObeyingForm(forms.Form):
    """Blockers of a step stand beside the field they speak of."""

    def obey(self, problems) -> None:
        for problem in problems:
            name = problem.link.removeprefix("#id_")
            if problem.is_blocker:
                self.add_error(name if name in self.fields else next(iter(self.fields)), problem.sentence)


class ExtendTrialForm(ObeyingForm):
    until = DayField(label="Last day from now on")
    agreed_on = PastDayField(label="Agreed on")
    is_late = forms.BooleanField(label="It was agreed after its last day; both stand by it", required=False)
    why = forms.CharField(
        label="What was written", max_length=300, help_text="By which letter or message, and what it says."
    )

    def __init__(self, *args, trial, today, **options):
        super().__init__(*args, **options)
        self.trial, self.today = trial, today
        if trial.ends_on >= today:
            del self.fields["is_late"]

    def clean(self):
        cleaned = super().clean()
        days = {name: cleaned[name] for name in ("until", "agreed_on", "is_late") if name in cleaned}
        if {"until", "agreed_on"} <= set(days):
            self.obey(extension_problems(self.trial, on=self.today, **days))
        return cleaned


class CountsField(forms.CharField):
    """Whole numbers in one box: "14, 12"; `read` turns them into a tuple or says what is wrong."""

    def __init__(self, *, read, **options):
        super().__init__(max_length=80, required=False, **options)
        self.read = read
        self.widget.attrs["inputmode"] = "text"

    def clean(self, value) -> list[int]:
        try:
            return list(self.read(super().clean(value)))
        except ValueError as reason:
            raise forms.ValidationError(str(reason)) from reason


class AccessForm(ObeyingForm):
    told_by = forms.CharField(label="Who told us", max_length=120, help_text="Or “seen by us”.")
    asked_on = PastDayField(label="Asked on")
    floor = forms.IntegerField(
        label="Floor it goes to", min_value=-5, max_value=60, initial=0, help_text="0 is the ground floor."
    )
    flights = CountsField(
        label="Steps of each flight",
        read=flights,
        help_text="Counted, one number a flight: 14, 12. Empty: no steps.",
    )
    turns = forms.IntegerField(label="Turns in the stairs", min_value=0, max_value=40, initial=0)
    landings = forms.IntegerField(label="Landings", min_value=0, max_value=40, initial=0)
    doors_cm = CountsField(
        label="Widths of the doors", read=doors, help_text="In centimetres, the clear opening: 82, 78."
    )
    surface = forms.CharField(
        label="Ground outside", max_length=120, required=False, help_text="Gravel, cobbles, a ramp, grass."
    )
    parking_m = forms.IntegerField(
        label="From the vehicle to the door", min_value=0, max_value=2000, required=False
    )
    has_lift = forms.BooleanField(label="There is a lift that takes it", required=False)
    note = forms.CharField(label="Besides", max_length=300, required=False, widget=ABOUT)
    file = forms.FileField(label="A photograph of the way in", required=False)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["parking_m"].unit, self.fields["doors_cm"].unit = "m", "cm"

    def clean_file(self):
        if not self.cleaned_data["file"]:
            return None
        try:
            return prepare_scan(self.cleaned_data["file"])
        except (ScanRefused, PhotoRefused) as refused:
            raise forms.ValidationError(refused.sentence) from refused


class MoverForm(ObeyingForm):
    mover = forms.CharField(label="Who moves it", max_length=120)
    day = DayField(label="Agreed day")
    amount_minor = MoneyField(
        label="Agreed sum", required=False, help_text="Their bill goes into its costs when it comes."
    )
    note = forms.CharField(label="Besides", max_length=300, required=False, widget=ABOUT)

    def __init__(self, *args, trial, leg: str, today, **options):
        super().__init__(*args, **options)
        self.trial, self.leg, self.today = trial, leg, today

    def clean(self):
        cleaned = super().clean()
        if day := cleaned.get("day"):
            self.obey(mover_problems(self.trial, self.leg, day=day, on=self.today))
        return cleaned


class AirFields(forms.Form):
    temperature_c = NumberField(
        label="Temperature",
        required=False,
        min_value=int(COLDEST_C),
        max_value=int(HOTTEST_C),
        max_digits=4,
        decimal_places=1,
    )
    humidity_percent = NumberField(
        label="Relative humidity", required=False, min_value=0, max_value=100, max_digits=4, decimal_places=1
    )

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["temperature_c"].unit, self.fields["humidity_percent"].unit = "°C", "%"

    def clean(self):
        cleaned = super().clean()
        both = [cleaned.get(name) is None for name in ("temperature_c", "humidity_percent")]
        if both == [True, False] and "temperature_c" not in self.errors:
            self.add_error("temperature_c", "Humidity says little without the temperature.")
        if both == [False, True] and "humidity_percent" not in self.errors:
            self.add_error("humidity_percent", "Temperature says little without the humidity.")
        return cleaned


LONGEST_POSITION = 200


class DeliveryForm(AirFields, ObeyingForm):
    delivered_on = PastDayField(label="Delivered on")
    received_by = forms.CharField(label="Who received it", max_length=120)
    room = forms.CharField(label="Room", max_length=80, initial="Living room")
    room_position = forms.CharField(
        label="Where in it", max_length=200, required=False, help_text="Inner wall, away from the window."
    )
    heating = forms.ChoiceField(label="Heating", choices=Heating.choices, initial=Heating.NOT_KNOWN)
    note = forms.CharField(label="Besides", max_length=300, required=False, widget=ABOUT)

    field_order = (
        *("delivered_on", "received_by", "room", "room_position"),
        *("heating", "temperature_c", "humidity_percent", "note"),
    )

    def clean(self):
        cleaned = super().clean()
        if (size := len(self._position(cleaned))) > LONGEST_POSITION:
            most = f"{LONGEST_POSITION} characters together at most, and this has {size}"
            self.add_error("room_position", f"Room and place are {most}.")
        return cleaned

    @staticmethod
    def _position(given: dict) -> str:
        return ": ".join(filter(None, (given.get(name) for name in ("room", "room_position"))))

    @property
    def facts(self) -> dict:
        names = ("delivered_on", "received_by", "heating", "note")
        position = self._position(self.cleaned_data)
        return {name: self.cleaned_data[name] for name in names} | {"room_position": position}

    @property
    def air(self) -> dict | None:
        names = ("temperature_c", "humidity_percent", "room")
        air = {name: self.cleaned_data[name] for name in names}
        return air if air["temperature_c"] is not None else None


class HomeClimateForm(AirFields):
    read_on = PastDayField(label="Read on")
    room = forms.CharField(label="Room", max_length=80, initial="Living room")
    told_by = forms.CharField(
        label="Told by", max_length=120, required=False, help_text="Left empty: we measured it."
    )
    note = forms.CharField(label="Besides", max_length=300, required=False, widget=ABOUT)

    field_order = ("read_on", "room", "temperature_c", "humidity_percent", "told_by", "note")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["temperature_c"].required = self.fields["humidity_percent"].required = True


class CollectionForm(ObeyingForm):
    collected_on = PastDayField(label="Collected on")
    mover = forms.CharField(label="Who fetched it", max_length=120)
    handed_over_by = forms.CharField(label="Who handed it over", max_length=120)
    note = forms.CharField(label="Besides", max_length=300, required=False, widget=ABOUT)
