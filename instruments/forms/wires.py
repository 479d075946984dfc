"""Plain wires: a line for each key. Covered strings are refused in words."""

from decimal import Decimal

from django import forms

from instruments.calc.strings import gauge_diameter_mm
from instruments.calc.survey_lines import WireLine, wire_lines
from instruments.calc.wire_surveys import reading_problem
from instruments.forms.surveys import MeasuredForm, a4_field
from instruments.models import Instrument, house_a4_hz
from instruments.states import WireSize
from instruments.survey_problems import wire_survey_problems


class WireSurveyForm(MeasuredForm):
    size = forms.ChoiceField(
        label="The size is given as",
        choices=WireSize,
        widget=forms.RadioSelect,
        initial=WireSize.MILLIMETRES,
        help_text="Published tables differ, so the millimetres are kept. Measure where you can.",
    )
    a4_hz = a4_field(help_text="The pitch they are to sound at.")
    lines = forms.CharField(
        label="Plain strings",
        max_length=12_000,
        widget=forms.Textarea(
            attrs={
                "rows": 8,
                "placeholder": "C4 620 1.05\nA4 400 1 x3",
                "spellcheck": "false",
            }
        ),
        help_text="One key a line: number or note, speaking length in mm, size, and x1, x2 or x3 for its"
        " strings (three where nothing is said). Plain wire only.",
    )

    def __init__(self, *args, instrument: Instrument, today, **options):
        super().__init__(*args, initial={"measured_on": today, "a4_hz": house_a4_hz()}, **options)
        self.instrument = instrument
        self.readings: list[tuple] = []

    more = ("a4_hz",)

    def clean(self) -> dict:
        cleaned = super().clean()
        lines, sentences = wire_lines(
            cleaned.get("lines", ""), self.instrument.first_key, self.instrument.key_count
        )
        if "size" in cleaned:
            for line in lines:
                try:
                    self.readings.append(_reading(line, cleaned["size"]))
                except ValueError as reason:
                    sentences.append(str(reason))
        if not sentences and not self.errors:
            sentences = [problem.sentence for problem in wire_survey_problems(self.instrument, self.readings)]
        for sentence in sentences[:20]:
            self.add_error("lines", sentence)
        return cleaned


def _reading(line: WireLine, size: str) -> tuple[int, Decimal, Decimal, int, str]:
    diameter, given_as = line.size, ""
    if size != WireSize.MILLIMETRES:
        gauge = gauge_diameter_mm(float(line.size), size)
        diameter = Decimal(str(gauge.diameter_mm))
        given_as = f"gauge {gauge.number:g}, {size} table"
    if problem := reading_problem(line.key, line.length_mm, diameter):
        raise ValueError(problem)
    return line.key, round(line.length_mm, 1), round(diameter, 3), line.strings, given_as
