"""Marking keys: pressed on the drawn keyboard, typed as ranges, or both; and clearing what was marked."""

from dataclasses import dataclass
from datetime import date

from django import forms

from instruments.drawings.key_strip import KeySign
from instruments.forms.fields import DayField, RowsField
from instruments.forms.keys_chosen import KeysChosen, pressed_keys_field, typed_keys_field
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


class KeyMarkForm(KeysChosen, forms.Form):
    fault = forms.ChoiceField(
        label="What is wrong",
        choices=[(fault.value, fault.label) for fault in FAULTS_IN_ORDER],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose what is wrong."},
    )
    key = pressed_keys_field("Keys")
    typed = typed_keys_field(
        "Or type the keys",
        max_length=400,
        help_text="Numbers, notes, ranges such as C4-E5, all sharps, all naturals, bass, tenor, treble.",
    )
    note = forms.CharField(label="Note", required=False, max_length=200)
    marked_on = DayField(label="Found on")
    photos = PhotosField(label="Photograph", required=False)

    def __init__(self, *args, instrument: Instrument, today: date, **options):
        super().__init__(*args, initial={"marked_on": today}, **options)
        self.instrument, self.today = instrument, today
        self.offer_keys()

    def clean_marked_on(self) -> date:
        return not_to_come(self.cleaned_data["marked_on"], self.today)

    def clean(self) -> dict:
        cleaned = super().clean()
        if not {"key", "typed"} & set(self.errors) and not self.keys:
            self.add_error("key", "Press at least one key, or type which.")
        return cleaned

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
