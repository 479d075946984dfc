"""A recording and what is said of it, a link to a film, and where the breaks lie."""

from django import forms

from instruments.calc.compass import note_label, parse_keys, top_key
from instruments.forms.fields import PastDayField
from instruments.forms.surveys import humidity_field, temperature_field
from instruments.models import Film, Instrument, Recording
from instruments.recordings import (
    LARGEST_BYTES,
    NotesHeard,
    PreparedRecording,
    RecordingRefused,
    notes_in,
    prepare_recording,
)
from instruments.sound_states import BREAK_REGISTERS, Register, Speech
from instruments.tunings import last_tuned

# Where a phone offers its recorder, this opens it; the endings are for phones that know no type.
ACCEPTED = "audio/*,.m4a,.mp3,.ogg,.oga,.opus,.wav"
MOST_NOTES = 24
MOST_TOLD = 2000
NOT_IN_WORDS = "Say how it sounds before the public may hear it: who cannot hear it reads this instead."
NOT_TOLD = "Say what is seen and heard in it before the public is led to it."
SAID = (
    *("register", "recorded_on", "temperature_c", "humidity_percent", "tuned_days", "device"),
    *("distance_cm", "remark", "sound_words", "is_public"),
)


class RecordingField(forms.FileField):
    """One recording. What comes out is checked, measured and ready to be stored."""

    widget = forms.FileInput(attrs={"accept": ACCEPTED, "data-max-bytes": LARGEST_BYTES})

    def clean(self, data, initial=None) -> PreparedRecording | None:
        if not data:
            raise forms.ValidationError("Choose the recording, or record one now.", code="required")
        try:
            return prepare_recording(data)
        except RecordingRefused as refused:
            raise forms.ValidationError(refused.sentence, code="refused") from refused


class NotesField(forms.CharField):
    """A note, a run of notes, or nothing: "A4", "F2 to E3"."""

    def __init__(self, *, instrument: Instrument | None = None, **options):
        self.instrument = instrument
        options.setdefault("label", "Which note, or from which to which")
        options.setdefault(
            "help_text", "A4, or F2 to E3. Leave it empty where more than single notes is played."
        )
        super().__init__(required=False, max_length=40, **options)

    def clean(self, value) -> tuple[int, ...]:
        typed = super().clean(value)
        if not typed:
            return ()
        try:
            keys = parse_keys(typed, self.instrument.first_key, self.instrument.key_count)
        except ValueError as reason:
            raise forms.ValidationError(str(reason), code="keys") from reason
        if keys != tuple(range(keys[0], keys[-1] + 1)):
            raise forms.ValidationError(
                "Give one note, or a run without gaps, such as F2 to E3.", code="gaps"
            )
        if len(keys) > MOST_NOTES:
            raise forms.ValidationError(f"A run has {MOST_NOTES} notes at most.", code="many")
        return keys


def whole_number(label: str, most: int, **options) -> forms.IntegerField:
    box = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
    return forms.IntegerField(label=label, required=False, min_value=0, max_value=most, widget=box, **options)


class DescribedForm(forms.ModelForm):
    """What is said of a recording."""

    notes = NotesField()
    humidity_percent = humidity_field()
    temperature_c = temperature_field()
    recorded_on = PastDayField(label="Recorded on")
    tuned_days = whole_number(
        "Days since it was tuned", 9999, help_text="Leave it empty where the record knows the tuning."
    )
    distance_cm = whole_number("Distance", 2000, help_text="From the strings, always the same.")

    class Meta:
        model = Recording
        fields = SAID
        widgets = {
            "register": forms.RadioSelect,
            "device": forms.TextInput(attrs={"autocomplete": "off"}),
            "remark": forms.TextInput(attrs={"autocomplete": "off"}),
            "sound_words": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        help_texts = {
            "device": "Always the same telephone, and by the same name.",
            "sound_words": "What is played and how it sounds to you, for who cannot hear it. It is shown as a"
            " judgement.",
        }

    def __init__(self, *args, instrument: Instrument, **options):
        super().__init__(*args, **options)
        self.instrument = instrument
        self.fields["notes"].instrument = instrument
        self.fields["register"].choices = Register.choices
        self.fields["distance_cm"].unit = "cm"

    def clean(self):
        cleaned = super().clean()
        keys, register = cleaned.get("notes"), cleaned.get("register")
        if keys is not None and register in BREAK_REGISTERS and len(keys) == 1:
            self.add_error("notes", "A run across a break has a first and a last note, such as F2 to E3.")
        if cleaned.get("is_public") and not cleaned.get("sound_words") and "sound_words" not in self.errors:
            self.add_error("sound_words", NOT_IN_WORDS)
        if cleaned.get("recorded_on") and cleaned.get("tuned_days", 0) is None:
            cleaned["tuned_days"] = self._reckoned(cleaned["recorded_on"])
        return cleaned

    def _reckoned(self, day) -> int | None:
        tuned = last_tuned(self.instrument, by_day=day)
        return (day - tuned).days if tuned else None

    def said(self) -> dict:
        keys = self.cleaned_data["notes"]
        ends = {"low_key": keys[0], "high_key": keys[-1]} if keys else {"low_key": None, "high_key": None}
        return {name: self.cleaned_data[name] for name in SAID} | ends


class RecordingForm(DescribedForm):
    """A new one, file first."""

    file = RecordingField(
        label="The recording", help_text="M4A, MP3, OGG or WAV, up to three minutes and 60 MB."
    )

    field_order = ["file", "register", "notes", *SAID[1:]]

    def heard(self, a4_hz: float) -> NotesHeard:
        return notes_in(self.cleaned_data["file"].upload, self.cleaned_data["notes"], a4_hz)


class DescribeForm(DescribedForm):
    """One that is here already. Its notes are measured again only when they are other ones."""

    field_order = ["register", "notes", *SAID[1:]]

    def __init__(self, *args, **options):
        recording = options["instance"]
        options.setdefault("initial", {})["notes"] = recording.notes_words
        self.keys_before = recording.keys
        super().__init__(*args, instrument=recording.instrument, **options)

    @property
    def has_other_notes(self) -> bool:
        return self.cleaned_data["notes"] != self.keys_before


class FilmForm(forms.ModelForm):
    prefix = "film"
    url = forms.URLField(
        label="Its address",
        max_length=300,
        assume_scheme="https",
        help_text="Where the shop put it, beginning with https. A plain link: nothing of it is shown here.",
    )

    told = forms.CharField(
        label="What is seen and heard in it",
        required=False,
        max_length=MOST_TOLD,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="In the order in which it comes, with what is said where that has no captions.",
    )

    class Meta:
        model = Film
        fields = ("title", "url", "told", "speech", "is_public")
        widgets = {"title": forms.TextInput(attrs={"autocomplete": "off"}), "speech": forms.RadioSelect}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["speech"].choices = Speech.choices

    def clean(self):
        cleaned = super().clean()
        for name, sentence in (("told", NOT_TOLD), ("speech", "Say whether anything is said in it.")):
            if cleaned.get("is_public") and not cleaned.get(name) and name not in self.errors:
                self.add_error(name, sentence)
        return cleaned

    def clean_url(self) -> str:
        url = self.cleaned_data["url"]
        if not url.startswith("https://"):
            raise forms.ValidationError("Give an address that begins with https://.", code="scheme")
        return url


class BreaksForm(forms.Form):
    """The last note below each break; an empty field says that there is none."""

    bass = forms.CharField(label="Last note of the bass bridge", required=False, max_length=10)
    treble = forms.CharField(
        label="Last note below the treble break",
        required=False,
        max_length=10,
        help_text="Leave it empty where it has none.",
    )

    def __init__(self, *args, instrument: Instrument, **options):
        breaks = getattr(instrument, "breaks", None)
        stand = {name: getattr(breaks, name, None) for name in ("bass", "treble")}
        initial = {name: note_label(key) for name, key in stand.items() if key is not None}
        super().__init__(*args, initial=initial, **options)
        self.instrument = instrument

    def clean_bass(self) -> int | None:
        return self._key("bass")

    def clean_treble(self) -> int | None:
        return self._key("treble")

    def clean(self):
        cleaned = super().clean()
        bass, treble = cleaned.get("bass"), cleaned.get("treble")
        if None not in (bass, treble) and treble <= bass:
            self.add_error("treble", "The treble break lies above the bass break.")
        return cleaned

    def _key(self, name: str) -> int | None:
        typed = self.cleaned_data[name].strip()
        if not typed:
            return None
        first, count = self.instrument.first_key, self.instrument.key_count
        try:
            keys = parse_keys(typed, first, count)
        except ValueError as reason:
            raise forms.ValidationError(str(reason), code="keys") from reason
        if len(keys) != 1 or keys[0] == top_key(first, count):
            raise forms.ValidationError("Give one note that has another above it, such as E3.", code="keys")
        return keys[0]
