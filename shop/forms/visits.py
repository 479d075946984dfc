"""Booking a visit, and writing up what came of it: at the piano, with one hand."""

from datetime import date

from django import forms

from instruments.calc.key_lists import keys_text
from instruments.calc.pitch_surveys import reading_problem
from instruments.forms.fields import DayField, NumberField, PastDayField
from instruments.forms.keys_chosen import KeysChosen, pressed_keys_field, typed_keys_field
from instruments.models import Instrument, house_a4_hz
from instruments.states import PitchUnit
from shop.care_problems import NOTHING_WRITTEN, SAYS_SOMETHING, before_its_day
from shop.models import CareVisit, VisitRecord
from shop.visit_words import A4_KEY
from workorders.forms.fields import MinutesField, PersonField, bench_people

MOST_MINUTES = 900
COPIED = (
    *("visited_on", "visited_by", "pitch_found", "pitch_left", "humidity_percent", "temperature_c"),
    *("work", "advice", "note", "next_due_on"),
)
LATEST_YEARS = 5


class WhoGoesField(PersonField):
    def __init__(self, **options):
        super().__init__(**{"label": "Who goes", "empty_label": "Choose somebody"} | options)
        self.queryset = bench_people()


class BookVisitForm(forms.Form):
    booked_for = DayField(label="Day")
    who = WhoGoesField()
    included = forms.BooleanField(label="It is in the price of the sale", required=False)
    where = forms.CharField(
        label="Where, and how to get in",
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Whoever goes reads this, and nothing else of the customer.",
    )
    note = forms.CharField(label="What for", max_length=300, required=False)

    def __init__(self, *args, today: date, left: int = 0, is_call_back: bool = False, **options):
        super().__init__(*args, **options)
        self.today = today
        if is_call_back or not left:
            del self.fields["included"]
        else:
            self.fields["included"].help_text = f"{left} {'is' if left == 1 else 'are'} left."

    def clean_booked_for(self):
        return not_too_far(self.cleaned_data["booked_for"], self.today)


class MoveVisitForm(forms.Form):
    booked_for = DayField(label="New day")
    who = WhoGoesField()
    why = forms.CharField(label="Why", max_length=200)

    def __init__(self, *args, today: date, **options):
        super().__init__(*args, **options)
        self.today = today

    def clean_booked_for(self):
        return not_too_far(self.cleaned_data["booked_for"], self.today)


def not_too_far(day: date, today: date) -> date:
    if day < today:
        raise forms.ValidationError("That day has passed.")
    if day.year > today.year + LATEST_YEARS:
        raise forms.ValidationError("That day is too far off.")
    return day


class VisitNotDoneForm(forms.Form):
    visited_on = PastDayField(label="Day")
    why_not = forms.CharField(label="Why it was not done", max_length=300)
    travel_minutes = MinutesField(label="Time on the way", required=False)

    def clean_travel_minutes(self) -> int:
        return minutes_or_none(self.cleaned_data["travel_minutes"])


def minutes_or_none(minutes: int | None) -> int:
    if minutes is not None and not 0 <= minutes <= MOST_MINUTES:
        raise forms.ValidationError(f"Give {MOST_MINUTES // 60} hours at most.")
    return minutes or 0


class VisitRecordForm(KeysChosen, forms.Form):
    visited_on = PastDayField(label="Day")
    is_earlier = forms.BooleanField(label="It was done before the day it is booked for", required=False)
    visited_by = WhoGoesField(label="Who went")
    pitch_unit = forms.ChoiceField(label="A4 is read in", choices=PitchUnit, widget=forms.RadioSelect)
    pitch_found = NumberField(label="A4 as found", required=False, max_digits=6, decimal_places=2)
    pitch_left = NumberField(label="A4 as left", required=False, max_digits=6, decimal_places=2)
    humidity_percent = NumberField(
        label="Humidity of the room",
        required=False,
        min_value=0,
        max_value=100,
        max_digits=4,
        decimal_places=1,
    )
    temperature_c = NumberField(
        label="Temperature", required=False, min_value=-40, max_value=60, max_digits=3, decimal_places=1
    )
    minutes = MinutesField(label="Time at the piano", required=False)
    travel_minutes = MinutesField(label="Time on the way", required=False)
    work = forms.CharField(
        label="What was done",
        max_length=1500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Goes into the history that stays with the piano: name nobody.",
    )
    key = pressed_keys_field("Notes it concerned")
    typed = typed_keys_field("Or type the notes", max_length=200)
    advice = forms.CharField(label="What you advised", max_length=500, required=False)
    note = forms.CharField(label="For ourselves", max_length=500, required=False)
    next_due_on = DayField(label="Next due", required=False, help_text="Empty: by how many a year we advise.")

    def __init__(self, *args, visit: CareVisit, today: date, before: VisitRecord | None = None, **options):
        super().__init__(*args, initial=_initial(visit, today, before), **options)
        self.visit = visit
        self.instrument: Instrument = visit.instrument
        self.today = today
        self.offer_keys()
        self.fields["humidity_percent"].unit = "% RH"
        self.fields["temperature_c"].unit = "°C"

    def clean_minutes(self) -> int:
        return minutes_or_none(self.cleaned_data["minutes"])

    def clean_travel_minutes(self) -> int:
        return minutes_or_none(self.cleaned_data["travel_minutes"])

    def clean_next_due_on(self):
        day = self.cleaned_data["next_due_on"]
        return not_too_far(day, self.today) if day else None

    def clean(self) -> dict:
        cleaned = super().clean()
        for name in ("pitch_found", "pitch_left"):
            value, unit = cleaned.get(name), cleaned.get("pitch_unit")
            if value is not None and unit:
                wrong = reading_problem(A4_KEY, float(value), unit, float(house_a4_hz()))
                if wrong:
                    self.add_error(name, wrong)
        if before_its_day(self.visit, cleaned.get("visited_on")) and not cleaned.get("is_earlier"):
            self.add_error("visited_on", self._too_early())
        if not self.errors and not self._says_something():
            self.add_error("work", NOTHING_WRITTEN)
        return cleaned

    def _too_early(self) -> str:
        return (
            f"It is booked for {self.visit.booked_for:%-d %B %Y}, a later day than this. "
            "Say below that it was done before its day, or give the right day."
        )

    def _says_something(self) -> bool:
        record = self.record()
        return any(record.get(name) not in (None, "") for name in SAYS_SOMETHING)

    @property
    def asks_whether_earlier(self) -> bool:
        """Of a visit that is written up for the first time; corrected later, the day stands."""
        return self.visit.is_booked

    def record(self) -> dict:
        """Fields of VisitRecord, and whether it was done before its day."""
        given = self.cleaned_data
        measured = given["pitch_found"] is not None or given["pitch_left"] is not None
        return {name: given[name] for name in COPIED} | {
            "pitch_unit": given["pitch_unit"] if measured else "",
            "is_earlier": given["is_earlier"],
            "minutes": given["minutes"],
            "travel_minutes": given["travel_minutes"],
            "keys": keys_text(self.keys, self.instrument.first_key, self.instrument.key_count),
        }


def _initial(visit: CareVisit, today: date, before: VisitRecord | None) -> dict:
    if before is None:
        return {
            "visited_on": min(visit.booked_for, today),
            "visited_by": visit.who_id,
            "pitch_unit": PitchUnit.HERTZ,
        }
    kept = {name: getattr(before, name) for name in COPIED if name != "visited_by"}
    return kept | {
        "visited_by": before.visited_by_id,
        "pitch_unit": before.pitch_unit or PitchUnit.HERTZ,
        "minutes": before.minutes or None,
        "travel_minutes": before.travel_minutes or None,
        "typed": before.keys,
    }
