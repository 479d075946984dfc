from django import forms

from instruments.models import Instrument
from instruments.sound_states import ToneWord

MOST_WORDS = 3


class ToneForm(forms.Form):
    words = forms.MultipleChoiceField(
        label="To our ear it is",
        required=False,
        choices=ToneWord,
        widget=forms.CheckboxSelectMultiple,
        help_text=f"Up to {MOST_WORDS} words; more say nothing. Printed as a judgement, with its day.",
    )

    def __init__(self, *args, instrument: Instrument, **options):
        tone = getattr(instrument, "tone", None)
        super().__init__(*args, initial={"words": tone.words if tone else []}, **options)

    def clean_words(self) -> list[str]:
        """In the order of the list, whatever order they were sent in."""
        chosen = set(self.cleaned_data["words"])
        if len(chosen) > MOST_WORDS:
            raise forms.ValidationError(f"Choose {MOST_WORDS} at most: those that matter.", code="many")
        return [word for word in ToneWord.values if word in chosen]
