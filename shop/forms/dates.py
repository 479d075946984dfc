from django import forms


class DayField(forms.DateField):
    """A day, picked from the browser's own calendar."""

    def __init__(self, **options):
        options.setdefault("widget", forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}))
        options.setdefault("error_messages", {"invalid": "Give a day, such as 21/03/2026."})
        super().__init__(**options)
