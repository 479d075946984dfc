"""Surveys typed key by key, pasted as lines, or both. Any part of the compass will do."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from django import forms

from instruments.calc import compass
from instruments.calc.survey_lines import figure, pin_lines, pin_name, pitch_lines
from instruments.forms.fields import NumberField, PastDayField
from instruments.forms.key_table import KeyTable, RowOfKey
from instruments.models import Instrument, house_a4_hz
from instruments.problems import Problem
from instruments.states import PitchStage, PitchUnit, TorqueUnit
from instruments.survey_problems import pin_survey_problems, pitch_survey_problems

DASHES = {"-", "–", "—"}
MOST_PROBLEMS = 20
COLUMN_LETTERS = "abc"


@dataclass
class Box:
    """One box of the table: its name, what is typed in it, and what it is for the ear."""

    name: str
    text: str
    label: str
    column: int


@dataclass
class BoxRow(RowOfKey):
    boxes: list[Box]
    wrong: list[str] = field(default_factory=list)


def humidity_field() -> NumberField:
    made = NumberField(
        label="Humidity of the room",
        required=False,
        min_value=0,
        max_value=100,
        max_digits=4,
        decimal_places=1,
    )
    made.unit = "% RH"
    return made


def temperature_field() -> NumberField:
    made = NumberField(
        label="Temperature", required=False, min_value=-40, max_value=60, max_digits=3, decimal_places=1
    )
    made.unit = "°C"
    return made


def a4_field(**options) -> NumberField:
    made = NumberField(label="A4", min_value=380, max_value=480, max_digits=5, decimal_places=2, **options)
    made.unit = "Hz"
    return made


class MeasuredForm(forms.Form):
    """When, in which air, and what else there is to say."""

    measured_on = PastDayField(label="Measured on")
    humidity_percent = humidity_field()
    temperature_c = temperature_field()
    note = forms.CharField(label="Note", required=False, max_length=300)

    more: tuple[str, ...] = ()

    def circumstances(self) -> dict:
        names = ("humidity_percent", "temperature_c", "note", *self.more)
        return {name: self.cleaned_data[name] for name in names} | {"on": self.cleaned_data["measured_on"]}


class SurveyForm(KeyTable, MeasuredForm):
    """Boxes by key, and lines to paste; `readings` holds what both say together.

    Each kind of survey adds three methods: `lines_of(text)`, the pasted readings by place and a sentence for
    each line that was not read; `called(place)`, the name of a place; and `problems(readings)`.
    """

    columns = ("",)
    decimals = 2
    needed: tuple[str, ...] = ("unit",)  # to judge a reading by

    def __init__(self, *args, instrument: Instrument, today, **options):
        options["initial"] = {"measured_on": today} | options.pop("initial", {})
        super().__init__(*args, **options)
        self.instrument = instrument
        self.rows = [self._row(position) for position in range(1, instrument.key_count + 1)]
        self.readings: list[tuple] = []

    def clean(self) -> dict:
        cleaned = super().clean()
        found = dict(self._typed())
        lines, sentences = self.lines_of(cleaned.get("pasted", ""))
        for place, value in lines:
            if found.setdefault(place, value) != value:
                sentences.append(f"{self.called(place)} is given twice, with different figures.")
        for sentence in sentences:
            self.add_error("pasted", sentence)
        self.readings = [(*place, value) for place, value in sorted(found.items())]
        if all(name in cleaned for name in self.needed):
            for problem in self.problems(self.readings)[:MOST_PROBLEMS]:
                self._say(problem)
        if any(row.wrong for row in self.rows):
            self.add_error(None, "Some keys in the table need another look; they are marked.")
        return cleaned

    def kept(self, value: Decimal) -> Decimal:
        """No finer than the database keeps."""
        return round(value, self.decimals)

    def _say(self, problem: Problem) -> None:
        """Beside the row it speaks of, where that row was typed; else beside the lines."""
        if not self.readings:
            if not self.errors and not self.wrong_rows:
                self.add_error(None, problem.sentence)
            return
        named = problem.sentence.replace(":", ",").partition(",")[0]
        typed = [row for row in self.rows if row.note == named and any(box.text for box in row.boxes)]
        if typed:
            typed[0].wrong.append(problem.sentence)
        else:
            self.add_error("pasted", problem.sentence)

    def _row(self, position: int) -> BoxRow:
        key = self.instrument.first_key + position - 1
        boxes = []
        for number, column in enumerate(self.columns, start=1):
            name = f"box_{COLUMN_LETTERS[number - 1]}{position}"
            label = f"{compass.note_label(key)} {column}".strip()
            boxes.append(Box(name, str(self.data.get(name, "")).strip(), label, number))
        return BoxRow(key, position, boxes)

    def _typed(self) -> Iterator[tuple[tuple[int, ...], Decimal]]:
        for row in self.rows:
            for box in row.boxes:
                if not box.text or box.text in DASHES:
                    continue
                try:
                    value = self.kept(figure(box.text, "reading"))
                except ValueError as reason:
                    row.wrong.append(str(reason))
                    continue
                yield ((row.key, box.column) if len(self.columns) > 1 else (row.key,)), value


def lines_field(placeholder: str, help_text: str) -> forms.CharField:
    return forms.CharField(
        label="Paste readings",
        required=False,
        max_length=12_000,
        widget=forms.Textarea(attrs={"rows": 4, "placeholder": placeholder, "spellcheck": "false"}),
        help_text=help_text,
    )


class PinSurveyForm(SurveyForm):
    unit = forms.ChoiceField(
        label="The wrench reads in",
        choices=TorqueUnit,
        widget=forms.RadioSelect,
        initial=TorqueUnit.NEWTON_METRE,
    )
    is_whole = forms.TypedChoiceField(
        label="How many pins",
        choices=[("", "A sample"), ("yes", "Every pin")],
        coerce=bool,
        empty_value=False,
        required=False,
        widget=forms.RadioSelect,
    )
    pasted = lines_field(
        "C4/2 9.5\n41 8,7 9 8.2",
        "One key a line: number or note, a stroke and the string, its figure; or one figure for each of its"
        " strings, from the left.",
    )

    columns = ("string 1", "string 2", "string 3")
    more = ("unit", "is_whole")

    def lines_of(self, text: str):
        lines, sentences = pin_lines(text, self.instrument.first_key, self.instrument.key_count)
        return [((line.key, line.string), self.kept(line.torque)) for line in lines], sentences

    def called(self, place: tuple[int, ...]) -> str:
        return pin_name(*place)

    def problems(self, readings: list[tuple]) -> list[Problem]:
        return pin_survey_problems(self.instrument, readings, self.cleaned_data["unit"])


class PitchSurveyForm(SurveyForm):
    unit = forms.ChoiceField(
        label="Read in", choices=PitchUnit, widget=forms.RadioSelect, initial=PitchUnit.FLAT
    )
    a4_hz = a4_field(help_text="What it is held against; it stays with the survey.")
    stage = forms.ChoiceField(
        label="Stage", choices=PitchStage, widget=forms.RadioSelect, initial=PitchStage.AS_FOUND
    )
    pasted = lines_field("A4 46\nC4 44", "One note a line: number or name, and its figure.")

    decimals = 3
    needed = ("unit", "a4_hz")
    more = ("unit", "a4_hz", "stage")

    def __init__(self, *args, **options):
        super().__init__(*args, initial={"a4_hz": house_a4_hz()}, **options)

    def lines_of(self, text: str):
        lines, sentences = pitch_lines(text, self.instrument.first_key, self.instrument.key_count)
        return [((line.key,), self.kept(line.value)) for line in lines], sentences

    def called(self, place: tuple[int, ...]) -> str:
        return compass.note_label(place[0])

    def problems(self, readings: list[tuple]) -> list[Problem]:
        unit, a4 = self.cleaned_data["unit"], self.cleaned_data["a4_hz"]
        return pitch_survey_problems(self.instrument, readings, unit, a4)
