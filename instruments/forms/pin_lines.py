from decimal import Decimal

from django import forms

from instruments.calc.pin_surveys import MOST_NM
from instruments.calc.pins import newton_metres
from instruments.forms.fields import NumberField
from instruments.models import PinLine
from instruments.states import TorqueUnit

FIELDS = ("torque", "unit", "meaning", "source", "in_use")


class PinLineForm(forms.Form):
    """A line to count pins by."""

    torque = NumberField(label="Below", max_digits=6, decimal_places=2, min_value=Decimal("0.01"))
    unit = forms.ChoiceField(label="In", choices=TorqueUnit, widget=forms.RadioSelect)
    meaning = forms.CharField(
        label="What it says",
        max_length=200,
        help_text="A sentence for the page; it judges nothing.",
    )
    source = forms.CharField(
        label="Where it comes from", max_length=200, initial="common practice, no source"
    )
    in_use = forms.BooleanField(label="Count by it", required=False, initial=True)

    def __init__(self, *args, line: PinLine | None = None, **options):
        self.line = line or PinLine()
        initial = {"unit": TorqueUnit.NEWTON_METRE}
        initial |= {name: getattr(line, name) for name in FIELDS} if line else {}
        super().__init__(*args, initial=initial, **options)

    def clean(self) -> dict:
        cleaned = super().clean()
        torque, unit = cleaned.get("torque"), cleaned.get("unit")
        if torque is None or not unit:
            return cleaned
        if newton_metres(torque, unit) > MOST_NM:
            self.add_error("torque", "That is more than any tuning pin takes. Is it another unit?")
        elif PinLine.objects.filter(torque=torque, unit=unit).exclude(pk=self.line.pk).exists():
            self.add_error("torque", "There is a line at this torque already.")
        return cleaned

    def filled(self) -> PinLine:
        for name in FIELDS:
            setattr(self.line, name, self.cleaned_data[name])
        return self.line
