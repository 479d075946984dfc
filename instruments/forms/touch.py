from django import forms

from instruments.forms.fields import NumberField
from instruments.models import Instrument

WEIGHTS = ("touch_bass_g", "touch_middle_g", "touch_treble_g", "touch_tolerance_g")


class TouchTargetForm(forms.ModelForm):
    """What the down-weights of one instrument are aimed at, and why."""

    class Meta:
        model = Instrument
        fields = (*WEIGHTS, "touch_reason")
        field_classes = dict.fromkeys(WEIGHTS, NumberField)
        labels = {
            "touch_bass_g": "Lowest key",
            "touch_middle_g": "Middle",
            "touch_treble_g": "Highest key",
            "touch_tolerance_g": "Within",
            "touch_reason": "Why",
        }
        help_texts = {"touch_reason": "For whom it is lighter or heavier, or that it is the shop’s usual."}

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["touch_reason"].required = True
        for name in WEIGHTS:
            self.fields[name].unit = "g"
