from django import forms

from instruments.models import Evidence, Instrument, MeasuredValue

MOST_OFFERED = 200


class EvidenceForm(forms.ModelForm):
    """One piece for or against a statement, and the one record of this instrument that it rests on."""

    rests_on = forms.ChoiceField(
        label="What it rests on",
        required=False,
        help_text="A photograph, finding, measured value, report, document, weigh-off or survey on file.",
    )

    class Meta:
        model = Evidence
        fields = ("side", "strength", "note", "is_hearsay")
        widgets = {
            "side": forms.RadioSelect,
            "strength": forms.RadioSelect,
            "note": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        labels = {"is_hearsay": "It is only somebody’s word"}
        help_texts = {"is_hearsay": "Then it counts as weak, however sure they were."}

    def __init__(self, *args, instrument: Instrument, user, **options):
        super().__init__(*args, **options)
        for name in ("side", "strength"):
            self.fields[name].choices = self.fields[name].choices[1:]
        self.fields["rests_on"].choices = [
            ("", "Nothing on file: the note alone"),
            *(_group("Photographs", "photo", instrument.photos.kept(), _numbered)),
            *(_group("Findings", "finding", instrument.findings.current(), _found)),
            *(_group("Measured", "measured_value", _measured(instrument), str)),
            *(_group("Condition reports", "report", instrument.condition_reports.all(), str)),
            *(_group("Documents", "document", instrument.documents.open_to(user), str)),
            *(_group("Weigh-offs", "weighing", instrument.weighings.with_readings(), str)),
            *(_group("Surveys of pins", "pin_survey", instrument.pin_surveys.all(), str)),
            *(_group("Surveys of pitch", "pitch_survey", instrument.pitch_surveys.all(), str)),
        ]

    def piece(self) -> dict:
        """What `add_evidence` takes besides the statement."""
        fields = {name: self.cleaned_data[name] for name in self.Meta.fields}
        kind, _, key = self.cleaned_data["rests_on"].partition("-")
        return fields | ({f"{kind}_id": int(key)} if kind else {})


class RetractionForm(forms.Form):
    reason = forms.CharField(
        label="Why it is taken back",
        max_length=300,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        help_text="It stays on file, struck out, with this reason.",
    )


def _group(title: str, kind: str, rows, words) -> list[tuple]:
    """One group of the list; nothing when the instrument has none of the kind."""
    offered = [(f"{kind}-{row.pk}", words(row)[:90]) for row in rows[:MOST_OFFERED]]
    return [(title, offered)] if offered else []


def _measured(instrument: Instrument):
    """Every value on file, the newest first: what was true as bought may be what speaks."""
    values = MeasuredValue.objects.filter(finding__instrument=instrument)
    return values.select_related("finding").order_by("-id")


def _found(finding) -> str:
    return f"{finding}. {finding.note}".removesuffix(". ")


def _numbered(photo) -> str:
    return f"{photo.position}: {photo}"
