"""What of the log is shown."""

from django import forms
from django.contrib.auth.models import User

from shop.log_states import LogKind
from shop.models import LogLine
from workorders.forms.fields import PersonField


class LogForm(forms.Form):
    """From the query of its page; what cannot be read there leaves nothing out."""

    kind = forms.ChoiceField(label="What", choices=[("", "Everything"), *LogKind.choices], required=False)
    who = PersonField(label="Who", empty_label="Anybody", required=False)
    since = forms.DateField(label="From", required=False, widget=forms.DateInput(attrs={"type": "date"}))

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["who"].queryset = User.objects.order_by("first_name", "last_name", "username")

    def lines(self):
        self.is_valid()
        asked = {name: value for name, value in self.cleaned_data.items() if value}
        if "since" in asked:
            asked["at__date__gte"] = asked.pop("since")
        return LogLine.objects.filter(**asked).select_related("who", "seal")
