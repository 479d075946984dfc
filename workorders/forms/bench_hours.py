"""Hours at the bench by weekday, and days away."""

from datetime import date, timedelta

from django import forms
from django.utils import timezone

from instruments.forms.fields import DayField
from workorders.calc.bench_days import DAY_NAMES
from workorders.forms.fields import MinutesField, PersonField, bench_people
from workorders.hours_problems import days_away_problems
from workorders.models.bench_hours import MINUTES_A_DAY, WEEKDAYS
from workorders.states import AwayKind

FARTHEST = timedelta(days=5 * 366)


class NearDayField(DayField):
    """A day within five years, so that a slip in the year is seen."""

    def clean(self, value) -> date | None:
        day = super().clean(value)
        if day and abs(day - timezone.localdate()) > FARTHEST:
            raise forms.ValidationError("That day is more than five years from now; look at the year.")
        return day


class HoursForm(forms.Form):
    person = PersonField(label="Whose hours", empty_label="Choose")
    since = NearDayField(label="From", help_text="They hold until newer ones.")

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["person"].queryset = bench_people()
        self.fields["since"].initial = timezone.localdate()
        for name, label in zip(WEEKDAYS, DAY_NAMES, strict=True):
            self.fields[name] = MinutesField(label=label, required=False, help_text="")

    def clean(self) -> dict:
        cleaned = super().clean()
        for name in WEEKDAYS:
            if (cleaned.get(name) or 0) > MINUTES_A_DAY:
                self.add_error(name, "A day has 24 hours.")
        return cleaned

    @property
    def days(self) -> list:
        return [self[name] for name in WEEKDAYS]

    def chosen(self) -> dict:
        """As the action takes it; a day left empty is not worked."""
        data = self.cleaned_data
        minutes = [data[name] or 0 for name in WEEKDAYS]
        return {"person": data["person"], "since": data["since"], "minutes": minutes}


class DaysAwayForm(forms.Form):
    person = PersonField(label="Who is away", empty_label="Choose")
    first_day = NearDayField(label="First day away")
    last_day = NearDayField(label="Last day away", required=False, help_text="Leave empty for one day.")
    kind = forms.ChoiceField(label="Why", choices=AwayKind.choices, initial=AwayKind.HOLIDAY)
    note = forms.CharField(label="Note", max_length=120, required=False)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["person"].queryset = bench_people()

    def clean(self) -> dict:
        cleaned = super().clean()
        if self.errors:
            return cleaned
        cleaned["last_day"] = cleaned.get("last_day") or cleaned["first_day"]
        for problem in days_away_problems(cleaned["person"], cleaned["first_day"], cleaned["last_day"]):
            self.add_error("last_day", problem.sentence)
        return cleaned
