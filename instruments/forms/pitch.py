from django import forms

from instruments.forms.surveys import a4_field
from instruments.states import RaiseWay


class HousePitchForm(forms.Form):
    """What the shop tunes to, and why it changed."""

    a4_hz = a4_field(help_text="440 Hz is ISO 16:1975. Surveys on file keep theirs.")
    reason = forms.CharField(label="Why", max_length=200)


class RaiseChoiceForm(forms.Form):
    """Which way the owner chose, once it was put to them."""

    way = forms.ChoiceField(label="They chose", choices=RaiseWay, widget=forms.RadioSelect)
    note = forms.CharField(label="What was said", required=False, max_length=300)
