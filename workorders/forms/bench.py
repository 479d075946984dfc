"""What is said and shown at the bench: how long it really was, a note, something else that was found."""

from django import forms

from instruments.forms.fields import KeysField
from instruments.forms.findings import PartPhotoField
from instruments.models import Instrument
from instruments.states import CONDITIONS_THAT_ARE_FAULTS, Condition, Part
from workorders.actions.notes import moment_expected
from workorders.forms.fields import MinutesField, at_least_one
from workorders.models import Task, WorkItem
from workorders.states import PhotoMoment

MOST_DIGITS = 18
FAULTS = [condition for condition in Condition if condition in CONDITIONS_THAT_ARE_FAULTS]


class SettleForm(forms.Form):
    minutes = MinutesField(
        label="How long was it really?", help_text="90, 1 h 30 or 1:30; 0 writes nothing down."
    )


class PhotoForm(forms.Form):
    """A form with one picture straight from the camera; with a picture that waited it counts as taken."""

    photo = PartPhotoField(
        label="Photograph",
        required=False,
        help_text="Straight from the camera: JPEG, PNG, WebP or HEIC, up to 30 MB.",
    )

    def __init__(self, *args, waiting=None, **options):
        super().__init__(*args, **options)
        self.waiting = waiting

    @property
    def shows_something(self) -> bool:
        received = self.cleaned_data.get("photo")
        return bool(self.waiting or (received and received.prepared))


class NoteForm(PhotoForm):
    words = forms.CharField(
        label="Note", max_length=500, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    moment = forms.ChoiceField(
        label="The photograph shows it",
        choices=PhotoMoment.choices,
        required=False,
        widget=forms.RadioSelect,
    )

    field_order = ["photo", "moment", "words"]

    def __init__(self, *args, item: WorkItem, **options):
        super().__init__(*args, **options)
        self.fields["moment"].initial = moment_expected(item)

    def clean(self):
        cleaned = super().clean()
        if not self.errors and not cleaned["words"].strip() and not self.shows_something:
            raise forms.ValidationError("Write a word, or take a photograph.")
        return cleaned


class FoundForm(PhotoForm):
    """Something else that was found. The last word on the part is shown before it is replaced."""

    part = forms.ChoiceField(label="Where", choices=Part.choices, widget=forms.RadioSelect)
    condition = forms.ChoiceField(
        label="What it wants",
        choices=[(each.value, each.label) for each in FAULTS],
        widget=forms.RadioSelect,
    )
    note = forms.CharField(
        label="What you found",
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    keys = KeysField()
    usual_minutes = MinutesField(label="About how long it would take", required=False)
    task = forms.ModelChoiceField(
        queryset=Task.objects.none(),
        to_field_name="code",
        required=False,
        label="What you would do",
        empty_label="What the library suggests",
    )
    # The finding that stood when the page was shown: somebody else may have written a newer one meanwhile.
    was = forms.CharField(required=False, max_length=20, widget=forms.HiddenInput)

    field_order = ["part", "condition", "note", "photo", "keys", "usual_minutes", "task", "was"]

    def __init__(self, *args, instrument: Instrument, **options):
        super().__init__(*args, **options)
        self.instrument = instrument
        self.fields["keys"].instrument = instrument
        self.fields["task"].queryset = Task.objects.in_use()

    def clean_usual_minutes(self):
        minutes = self.cleaned_data["usual_minutes"]
        return minutes if minutes is None else at_least_one(minutes)

    def clean(self):
        cleaned = super().clean()
        if self.errors:
            return cleaned
        if not cleaned["note"].strip() and not self.shows_something:
            self.add_error("note", "Say what you found, or take a photograph of it.")
        last = self.instrument.findings.faults().filter(part=cleaned["part"]).last()
        if last and cleaned.pop("was", "") != str(last.pk):
            self.data = self.data.copy()
            self.data["was"] = str(last.pk)
            self.add_error("part", self._word_on(last))
        return cleaned

    @staticmethod
    def _word_on(last) -> str:
        told = f": {last.note}" if last.note else ""
        keys = f" ({last.keys})" if last.keys else ""
        return (
            f"On file since {last.found_on:%-d %B %Y}: {last}{keys}{told.rstrip('.')}. "
            "What you send replaces it, so put in what still holds; then send it again."
        )

    def found(self) -> dict:
        """What the action takes."""
        names = ("part", "condition", "note", "keys", "usual_minutes", "task")
        return {name: self.cleaned_data[name] for name in names}
