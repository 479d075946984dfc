from django import forms

from instruments.forms.fields import DayField
from instruments.states import Place


class MoveForm(forms.Form):
    place = forms.ChoiceField(label="Where it is now", choices=Place, widget=forms.RadioSelect)
    note = forms.CharField(
        label="More exactly",
        required=False,
        max_length=120,
        help_text="By the window, Bench 2, whose house …",
    )
    moved_on = DayField(label="Since")

    def __init__(self, *args, today, **options):
        super().__init__(*args, initial={"moved_on": today}, **options)
        self.today = today

    def clean_moved_on(self):
        moved_on = self.cleaned_data["moved_on"]
        if moved_on > self.today:
            raise forms.ValidationError("That day has not come yet.")
        return moved_on
