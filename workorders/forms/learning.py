"""Taking the median of finished jobs over: the one that was on the page."""

from django import forms

from workorders.forms.fields import MOST_USUAL_MINUTES


class MedianForm(forms.Form):
    seen = forms.IntegerField(min_value=1, max_value=MOST_USUAL_MINUTES)
