"""The walk-round: every part in the order a body moves, and only what is touched is saved."""

from django import forms

from instruments.forms.fields import DayField, KeysField
from instruments.models import Finding, Instrument
from instruments.states import Condition, Part

# Where a body stands when it looks at the part; the first part of each station.
STATIONS = {
    Part.CASE: "Outside",
    Part.FALL: "At the keys",
    Part.ACTION: "Front off, at the action",
    Part.STRINGS: "Strings and plank",
    Part.PEDALS: "Below",
    Part.BACK: "Behind, and all over",
}
PARTS_WITH_KEYS = {
    *(Part.KEY_TOPS, Part.KEYS, Part.HAMMERS, Part.CENTRES, Part.SPRINGS),
    *(Part.DAMPERS, Part.STRINGS, Part.PINS),
}


class WalkForm(forms.Form):
    """The day of the walk-round."""

    found_on = DayField(label="Looked at on")


class PartForm(forms.Form):
    condition = forms.ChoiceField(
        label="Condition",
        required=False,
        choices=[*Condition.choices, ("", "Leave it as it was")],
        widget=forms.RadioSelect,
    )
    note = forms.CharField(label="Note", required=False, max_length=500)
    keys = KeysField(
        help_text="",
        widget=forms.TextInput(attrs={"autocomplete": "off", "placeholder": "12, 40-45, all sharps"}),
    )

    def __init__(self, *args, part: Part, instrument: Instrument, last: Finding | None, **options):
        super().__init__(*args, prefix=part.value, **options)
        self.part, self.instrument, self.last = part, instrument, last
        self.station = STATIONS.get(part, "")
        self.fields["keys"].instrument = instrument
        if part not in PARTS_WITH_KEYS:
            del self.fields["keys"]

    def clean(self) -> dict:
        cleaned = super().clean()
        if not cleaned.get("condition") and (cleaned.get("note") or cleaned.get("keys")):
            self.add_error("condition", "Choose what you found as well.")
        return cleaned

    @property
    def is_touched(self) -> bool:
        return bool(self.cleaned_data.get("condition"))

    def found(self) -> dict:
        return {name: value for name, value in self.cleaned_data.items() if value} | {"part": self.part}


class WalkRound:
    """The form of the day and one form for each part, valid together; it answers like a form."""

    def __init__(self, sent, *, instrument: Instrument, today):
        last = {finding.part: finding for finding in instrument.findings.current()}
        self.day = WalkForm(sent, initial={"found_on": today})
        self.parts = [PartForm(sent, part=part, instrument=instrument, last=last.get(part)) for part in Part]

    def is_valid(self) -> bool:
        forms_are_valid = [form.is_valid() for form in (self.day, *self.parts)]
        if all(forms_are_valid) and not self.touched:
            self.day.add_error(None, "Nothing was chosen yet. Press what you found of at least one part.")
        return all(forms_are_valid) and bool(self.touched)

    def add_error(self, field: str | None, sentence: str) -> None:
        self.day.add_error(field, sentence)

    @property
    def touched(self) -> list[PartForm]:
        return [form for form in self.parts if form.is_touched]

    @property
    def wrong_parts(self) -> list[PartForm]:
        return [form for form in self.parts if form.errors]
