"""Which label sheet lies in the printer, and where the first label goes."""

from django import forms

from instruments.documents.label_sheets import FURTHEST_NUDGE_MM, SHEETS


def _nudge(label: str, help_text: str = "") -> forms.IntegerField:
    limit = FURTHEST_NUDGE_MM
    words = f"A sheet is moved by {limit} mm at most. Measure against the light how far it is out."
    return forms.IntegerField(
        label=label,
        help_text=help_text,
        required=False,
        min_value=-limit,
        max_value=limit,
        error_messages={"min_value": words, "max_value": words, "invalid": "Give whole millimetres."},
    )


class LabelForm(forms.Form):
    sheet = forms.ChoiceField(
        label="Label sheet",
        choices=[(name, sheet.words) for name, sheet in SHEETS.items()],
        initial="21",
        widget=forms.Select(attrs={"data-wide": True}),
    )
    first = forms.IntegerField(
        label="First free label",
        initial=1,
        min_value=1,
        help_text="Counted row by row from the upper left, so that a begun sheet can be used up.",
        error_messages={
            "invalid": "Give the number of a label, such as 1.",
            "min_value": "Labels count from 1.",
        },
    )
    right_mm = _nudge(
        "Move right, mm", "If your printer prints beside the labels. Less than nothing is left."
    )
    down_mm = _nudge("Move down, mm")

    def clean(self):
        asked = super().clean()
        sheet, first = SHEETS.get(asked.get("sheet", "")), asked.get("first")
        if sheet and first and first > sheet.count:
            self.add_error("first", f"That sheet has {sheet.count} labels, and no number {first}.")
        return asked

    @property
    def nudges(self) -> dict[str, int]:
        return {name: self.cleaned_data.get(name) or 0 for name in ("right_mm", "down_mm")}
