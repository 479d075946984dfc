"""Marking keys: pressed on the drawn keyboard, typed as ranges, or both; and clearing what was marked."""

from dataclasses import dataclass
from datetime import date

from django import forms

from instruments.calc import compass
from instruments.drawings.key_strip import KeySign
from instruments.forms.fields import DayField, RowsField
from instruments.forms.photos import PhotosField
from instruments.key_faults import FAULTS_IN_ORDER, SIGNS, FaultKind, KeyFault
from instruments.key_marks import sign_of
from instruments.models import Instrument, KeyMark


@dataclass(frozen=True)
class FaultChoice:
    """One fault as the form offers it."""

    value: str
    label: str
    sign: KeySign
    is_chosen: bool


class KeyMarkForm(forms.Form):
    fault = forms.ChoiceField(
        label="What is wrong",
        choices=[(fault.value, fault.label) for fault in FAULTS_IN_ORDER],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose what is wrong."},
    )
    key = forms.TypedMultipleChoiceField(
        label="Keys", coerce=int, required=False, widget=forms.CheckboxSelectMultiple
    )
    typed = forms.CharField(
        label="Or type the keys",
        required=False,
        max_length=400,
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "none", "placeholder": "1-12, C4, all sharps"}
        ),
        help_text="Numbers, notes, ranges such as C4-E5, all sharps, all naturals, bass, tenor, treble.",
    )
    note = forms.CharField(label="Note", required=False, max_length=200)
    marked_on = DayField(label="Found on")
    photos = PhotosField(label="Photograph", required=False)

    def __init__(self, *args, instrument: Instrument, today: date, **options):
        super().__init__(*args, initial={"marked_on": today}, **options)
        self.instrument, self.today = instrument, today
        top = compass.top_key(instrument.first_key, instrument.key_count)
        own = range(instrument.first_key, top + 1)
        self.fields["key"].choices = [(key, compass.note_label(key)) for key in own]

    def clean_typed(self) -> tuple[int, ...]:
        try:
            return compass.parse_keys(
                self.cleaned_data["typed"], self.instrument.first_key, self.instrument.key_count
            )
        except ValueError as reason:
            raise forms.ValidationError(str(reason), code="keys") from reason

    def clean_marked_on(self) -> date:
        return not_to_come(self.cleaned_data["marked_on"], self.today)

    def clean(self) -> dict:
        cleaned = super().clean()
        if not {"key", "typed"} & set(self.errors) and not self.keys:
            self.add_error("key", "Press at least one key, or type which.")
        return cleaned

    @property
    def keys(self) -> set[int]:
        """Pressed and typed together."""
        return {*self.cleaned_data.get("key", ()), *self.cleaned_data.get("typed", ())}

    @property
    def pressed(self) -> set[int]:
        """What was pressed on a form that is shown again."""
        known = {str(key): key for key, _ in self.fields["key"].choices}
        return {known[str(value)] for value in self["key"].value() or () if str(value) in known}

    @property
    def fault_groups(self) -> list[tuple[str, list[FaultChoice]]]:
        chosen = self["fault"].value()
        choices = {kind: [] for kind in FaultKind}
        for fault in FAULTS_IN_ORDER:
            choice = FaultChoice(fault.value, fault.label, sign_of(fault), fault.value == chosen)
            choices[SIGNS[fault].kind].append(choice)
        return [(kind.label, choices[kind]) for kind in FaultKind]


class KeysClearForm(forms.Form):
    """Open marks looked at again: single ones, or all of a fault."""

    marks = RowsField(queryset=KeyMark.objects.none(), required=False, label="Marks")
    faults = forms.MultipleChoiceField(choices=KeyFault.choices, required=False, label="All of a fault")
    found = forms.CharField(
        label="What was found",
        max_length=500,
        widget=forms.TextInput(attrs={"placeholder": "returns briskly with the dampers lifted"}),
    )
    cleared_on = DayField(label="Looked at again on")

    def __init__(self, *args, instrument: Instrument, today: date, **options):
        super().__init__(*args, initial={"cleared_on": today}, **options)
        self.today = today
        self.fields["marks"].queryset = instrument.key_marks.open()

    def clean_cleared_on(self) -> date:
        return not_to_come(self.cleaned_data["cleared_on"], self.today)

    def clean(self) -> dict:
        cleaned = super().clean()
        if not {"marks", "faults"} & set(self.errors) and not self.chosen_marks():
            self.add_error("marks", "Tick the marks that you looked at again.")
        return cleaned

    def chosen_marks(self) -> set[KeyMark]:
        single = set(self.cleaned_data.get("marks", ()))
        faults = self.cleaned_data.get("faults", ())
        return single | set(self.fields["marks"].queryset.filter(fault__in=faults)) if faults else single

    @property
    def ticked(self) -> set[str]:
        return {str(getattr(value, "pk", value)) for value in self["marks"].value() or ()}


def not_to_come(day: date, today: date) -> date:
    if day > today:
        raise forms.ValidationError("That is a day to come.", code="future")
    return day
