"""What an instrument is, as the page that logs one, the page that corrects one and the import read it."""

from django import forms

from instruments.calc import compass
from instruments.forms.fields import CentimetreField, HalfKnownDateField
from instruments.models import Instrument
from instruments.models.instrument import MOST_KEYS
from instruments.states import Covering

USUAL_COMPASSES = {"88": 88, "85": 85}
COMPASS_CHOICES = [("88", "88, A0 to C8"), ("85", "85, A0 to A7"), ("other", "Another number")]
HIGHEST_FIRST_KEY = 60
NOT_KNOWN = "Not known"
COVERING_CAUTION = (
    "While it is not settled it counts as ivory, and the instrument may not be offered or lent."
)
CHIPS = ("kind", "stringing", "damping", "frame", "natural_covering", "sharp_covering")
BUILD = (
    *("height_cm", "length_cm", "stringing", "damping", "frame"),
    *("case_wood", "case_finish", "pedals"),
)
MEASURES = ("height_cm", "length_cm", "width_cm", "depth_cm")


class IdentityForm(forms.ModelForm):
    keys = forms.ChoiceField(label="How many keys", choices=COMPASS_CHOICES, widget=forms.RadioSelect)
    key_count_other = forms.IntegerField(
        label="Another number of keys",
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={"invalid": "Give a whole number, such as 73."},
    )
    first_note = forms.CharField(
        label="Lowest key",
        required=False,
        max_length=4,
        help_text="A0 on 85 and 88 keys; say which on others, such as F1.",
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )

    class Meta:
        model = Instrument
        fields = (
            *("kind", "maker", "name_on_fall", "model", "serial", "serial_read_at"),
            *("made", "made_basis", "made_basis_note"),
            *("height_cm", "length_cm", "width_cm", "depth_cm", "weight_kg"),
            *("stringing", "damping", "frame", "pedals", "case_wood", "case_finish"),
            *("natural_covering", "sharp_covering"),
        )
        field_classes = {"made": HalfKnownDateField} | dict.fromkeys(MEASURES, CentimetreField)
        widgets = dict.fromkeys(CHIPS, forms.RadioSelect) | {
            "maker": forms.TextInput(attrs={"list": "makers", "autocomplete": "off"}),
            "serial": forms.TextInput(attrs={"autocomplete": "off"}),
            "pedals": forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
            "weight_kg": forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        }
        labels = {
            "made": "When it was made",
            "made_basis": "How the date is known",
            "case_wood": "Wood of the case",
            "case_finish": "Finish",
            "frame": "Frame",
            "serial": "Serial number",
            "serial_read_at": "Where it was read",
            "pedals": "Pedals",
        }
        help_texts = {
            "maker": "Nothing to be found? Write “unknown”.",
            "name_on_fall": "As it stands there, if it is not the maker’s.",
            "serial_read_at": "On the frame, the soundboard, a key …",
            "natural_covering": COVERING_CAUTION,
            "case_finish": "French polish, wax, lacquer …",
        }

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        for name in ("made_basis", "stringing", "damping", "frame", "case_wood"):
            field = self.fields[name]
            field.choices = [("", NOT_KNOWN), *field.choices[1:]]
        for name in ("natural_covering", "sharp_covering"):
            self.fields[name].required = False
        self.fields["kind"].choices = self.fields["kind"].choices[1:]
        self.fields["weight_kg"].unit = "kg"
        if self.instance.pk:
            self.initial |= compass_initial(self.instance)

    @property
    def build_is_given(self) -> bool:
        """Whether anything of size, stringing, frame, case or pedals was filled in, or is wrong."""
        return any(self[name].value() or self[name].errors for name in BUILD)

    def clean_maker(self) -> str:
        return " ".join(self.cleaned_data["maker"].split())

    def clean_natural_covering(self) -> str:
        return self.cleaned_data["natural_covering"] or Covering.UNKNOWN

    def clean_sharp_covering(self) -> str:
        return self.cleaned_data["sharp_covering"] or Covering.UNKNOWN

    def clean_first_note(self) -> int | None:
        typed = self.cleaned_data["first_note"]
        try:
            return compass.key_of_note(typed) if typed else None
        except ValueError as reason:
            raise forms.ValidationError(str(reason), code="note") from reason

    def clean(self) -> dict:
        cleaned = super().clean()
        if "keys" in cleaned and "key_count_other" in cleaned and "first_note" in cleaned:
            self._clean_compass(cleaned)
        if cleaned.get("made_basis") and not cleaned.get("made") and "made" not in self.errors:
            self.add_error("made", "How the date is known is given, but not the date.")
        return cleaned

    def _clean_compass(self, cleaned: dict) -> None:
        other, first_key = cleaned["key_count_other"], cleaned["first_note"]
        if usual := USUAL_COMPASSES.get(cleaned["keys"]):
            cleaned["key_count"], cleaned["first_key"] = usual, 1
            if first_key not in (None, 1):
                self.add_error("first_note", f"One of {usual} from another key than A0 is “another number”.")
        elif other is None or first_key is None:
            if other is None:
                self.add_error("key_count_other", "How many keys has it?")
            if first_key is None:
                keys = f"{other} keys" if other else "Such keyboards"
                self.add_error("first_note", f"Which is its lowest key? {keys} may start on A0, C1 or F1.")
        elif problem := _compass_problem(first_key, other):
            self.add_error("key_count_other", problem)
        else:
            cleaned["key_count"], cleaned["first_key"] = other, first_key

    def identity(self) -> dict:
        """The fields of Instrument that a valid form settles."""
        return {name: self.cleaned_data[name] for name in (*IDENTITY_FIELDS, "key_count", "first_key")}


IDENTITY_FIELDS = IdentityForm.Meta.fields


def _compass_problem(first_key: int, key_count: int) -> str:
    if key_count > MOST_KEYS:
        return f"No piano has more than {MOST_KEYS} keys."
    if first_key > HIGHEST_FIRST_KEY:
        return f"No keyboard begins as high as {compass.note_label(first_key)}."
    return compass.compass_problem(first_key, key_count)


def compass_initial(instrument: Instrument) -> dict:
    keys = str(instrument.key_count)
    if keys not in USUAL_COMPASSES or instrument.first_key != 1:
        keys = "other"
    return {
        "keys": keys,
        "key_count_other": instrument.key_count if keys == "other" else None,
        "first_note": compass.pitch_name(instrument.first_key),
    }
