"""The stages of a sale as they are typed: a few lines, each a sum and a day or an event."""

from django import forms

from instruments.forms.fields import DayField, PastDayField
from workorders.forms.fields import MoneyField

LINES = 6
PARTS = ("words", "amount_minor", "due_on", "event")


class PlanForm(forms.Form):
    version = forms.IntegerField(widget=forms.HiddenInput)
    agreed_on = PastDayField(label="Agreed on")
    written = forms.CharField(
        label="Where it is written", max_length=200, help_text="Their order form, a letter, a message."
    )
    why = forms.CharField(label="Why it is changed", max_length=300)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        if int(self.initial.get("version") or 1) == 1:
            self.fields["why"].required = False
            self.fields["why"].widget = forms.HiddenInput()
        for line in range(1, LINES + 1):
            self.fields[f"words_{line}"] = forms.CharField(label="What it is", max_length=120, required=False)
            self.fields[f"amount_minor_{line}"] = MoneyField(label="Sum", required=False)
            self.fields[f"due_on_{line}"] = DayField(label="Due on", required=False)
            self.fields[f"event_{line}"] = forms.CharField(
                label="Or due when", max_length=120, required=False, help_text="“when it is regulated”"
            )

    @property
    def lines(self) -> list[dict]:
        """The fields of each line, for the page."""
        return [
            {"number": line, "fields": [self[f"{part}_{line}"] for part in PARTS]}
            for line in range(1, LINES + 1)
        ]

    def clean(self):
        cleaned = super().clean()
        for line in range(1, LINES + 1):
            if any(cleaned.get(f"{part}_{line}") for part in PARTS):
                self._check(line, cleaned)
        self._name_apart(cleaned)
        return cleaned

    def _name_apart(self, cleaned: dict) -> None:
        named = {}
        for line in range(1, LINES + 1):
            words = (cleaned.get(f"words_{line}") or "").strip()
            if words and (first := named.setdefault(words.casefold(), line)) != line:
                self.add_error(f"words_{line}", f"Stage {first} is called “{words}” too: name them apart.")

    def _check(self, line: int, cleaned: dict) -> None:
        if not cleaned.get(f"words_{line}"):
            self.add_error(f"words_{line}", "Say what this stage is: deposit, second payment, balance.")
        if not cleaned.get(f"amount_minor_{line}") and f"amount_minor_{line}" not in self.errors:
            self.add_error(f"amount_minor_{line}", "Say how much it is.")
        day, event = cleaned.get(f"due_on_{line}"), cleaned.get(f"event_{line}")
        if f"due_on_{line}" in self.errors:
            return
        if day and event:
            self.add_error(f"event_{line}", "Either a day or an event, not both.")
        elif not day and not event:
            self.add_error(f"due_on_{line}", "Give a day, or what it waits for.")

    @property
    def stages(self) -> list[dict]:
        """Fields of PlanStage, line by line; empty lines fall away."""
        cleaned = self.cleaned_data
        return [
            {part: cleaned[f"{part}_{line}"] for part in PARTS}
            for line in range(1, LINES + 1)
            if cleaned.get(f"amount_minor_{line}")
        ]

    @property
    def agreed(self) -> dict:
        return {name: self.cleaned_data[name] for name in ("version", "agreed_on", "written", "why")}


class StageReachedForm(forms.Form):
    reached_on = PastDayField(label="It happened on")
    shown_by = forms.CharField(
        label="What shows it", max_length=200, help_text="The work closed, a signed sheet, a letter."
    )
