"""A weigh-off: begun empty, written down whole, or gone on with reading by reading."""

from decimal import Decimal

from django import forms

from instruments.calc.exact import plain
from instruments.forms.fields import NumberField, PastDayField
from instruments.forms.key_weights import KeyRow, KeyWeightsForm
from instruments.models import Instrument, Weighing
from instruments.problems import reading_problems
from instruments.states import Stage

DOWN_IS_MISSING = "The down-weight is missing."


class WeighOffForm(KeyWeightsForm):
    """A new weigh-off, with any part of its readings; with none of them it may only be begun."""

    weighed_on = PastDayField(label="Weighed on")
    stage = forms.ChoiceField(label="Stage", choices=Stage, widget=forms.RadioSelect)
    humidity_percent = NumberField(
        label="Humidity of the room", required=False, min_value=0, max_value=100, decimal_places=1
    )
    note = forms.CharField(label="Note", required=False, max_length=300)

    def __init__(self, *args, instrument: Instrument, today, **options):
        stage = Stage.AFTER_WORK if instrument.weighings.exists() else Stage.AS_FOUND
        initial = {"weighed_on": today, "stage": stage}
        super().__init__(*args, instrument=instrument, initial=initial, **options)
        self.fields["humidity_percent"].unit = "% RH"

    @property
    def goes_on(self) -> bool:
        """It was only begun: more readings follow, key by key."""
        return "begin" in self.data

    def clean(self) -> dict:
        cleaned = super().clean()
        if not self.readings and not self.errors and not self.goes_on:
            self.add_error(None, "No key has a reading yet. Give at least one down-weight.")
        return cleaned

    def circumstances(self) -> dict:
        names = ("stage", "humidity_percent", "note")
        return {name: self.cleaned_data[name] for name in names} | {"on": self.cleaned_data["weighed_on"]}

    def problems_of(self, key: int, down: Decimal | None, up: Decimal | None) -> list[str]:
        if down is None:
            return [DOWN_IS_MISSING]
        problems = reading_problems(self.instrument.first_key, self.instrument.key_count, key, down, up)
        return [problem.sentence for problem in problems]


class ReadingsForm(KeyWeightsForm):
    """More readings of a weigh-off that is open; its boxes hold what was read already."""

    def __init__(self, *args, weighing: Weighing, **options):
        self.standing = {row.key: row for row in weighing.standing_readings()}
        super().__init__(*args, instrument=weighing.instrument, **options)

    def clean(self) -> dict:
        cleaned = super().clean()
        if not self.readings and not self.errors:
            self.add_error(None, "No weight was given.")
        return cleaned

    def problems_of(self, key: int, down: Decimal | None, up: Decimal | None) -> list[str]:
        before = self.standing.get(key)
        down = before.down_g if down is None and before else down
        up = before.up_g if up is None and before else up
        if down is None:
            return [DOWN_IS_MISSING]
        problems = reading_problems(self.instrument.first_key, self.instrument.key_count, key, down, up)
        return [problem.sentence for problem in problems]

    @property
    def read(self) -> int:
        """Keys with both weights."""
        return sum(row.up_g is not None for row in self.standing.values())

    def _row(self, position: int) -> KeyRow:
        row = super()._row(position)
        before = self.standing.get(row.key)
        if before and not self.is_bound:
            row.down = plain(before.down_g)
            row.up = "" if before.up_g is None else plain(before.up_g) if before.up_g else "–"
        return row
