"""A weigh-off typed key by key, pasted as lines, or both. Any part of the compass will do."""

from dataclasses import dataclass, field
from decimal import Decimal
from itertools import groupby

from django import forms

from instruments.calc import compass
from instruments.calc.reading_lines import NO_RETURN, grams, parse_reading_lines
from instruments.forms.fields import DayField, NumberField
from instruments.models import Instrument
from instruments.problems import reading_problems
from instruments.states import Stage

Reading = tuple[int, Decimal, Decimal | None]
KEY_OF_C1 = 4


@dataclass
class KeyRow:
    """One line of the table: what stands in its two boxes and what is wrong with it."""

    key: int
    position: int
    down: str
    up: str
    wrong: list[str] = field(default_factory=list)

    @property
    def note(self) -> str:
        return compass.note_label(self.key)

    @property
    def is_sharp(self) -> bool:
        return compass.is_sharp(self.key)


class WeighOffForm(forms.Form):
    weighed_on = DayField(label="Weighed on")
    stage = forms.ChoiceField(label="Stage", choices=Stage, widget=forms.RadioSelect, initial=Stage.AS_FOUND)
    humidity_percent = NumberField(
        label="Humidity of the room", required=False, min_value=0, max_value=100, decimal_places=1
    )
    note = forms.CharField(label="Note", required=False, max_length=300)
    pasted = forms.CharField(
        label="Paste readings",
        required=False,
        max_length=10_000,
        widget=forms.Textarea(
            attrs={"rows": 4, "placeholder": "C4 52 28\n41 50,5 26", "spellcheck": "false"}
        ),
        help_text="One key a line: number or note, down-weight, up-weight. A dash where it does not return.",
    )

    def __init__(self, *args, instrument: Instrument, today, **options):
        super().__init__(*args, initial={"weighed_on": today}, **options)
        self.instrument = instrument
        self.fields["humidity_percent"].unit = "% RH"
        self.rows = [self._row(position) for position in range(1, instrument.key_count + 1)]
        self.readings: list[Reading] = []

    def clean(self) -> dict:
        cleaned = super().clean()
        typed = {row.key: reading for row in self.rows if (reading := self._typed(row))}
        for line in self._pasted_lines(cleaned.get("pasted", "")):
            if typed.setdefault(line[0], line) != line:
                note = compass.note_label(line[0])
                self.add_error("pasted", f"{note} is given twice, with different weights.")
        self.readings = sorted(typed.values(), key=lambda reading: reading[0])
        if any(row.wrong for row in self.rows):
            self.add_error(None, "Some keys in the table need another look; they are marked.")
        elif not self.readings and not self.errors:
            self.add_error(None, "No key has a reading yet. Give at least one down-weight.")
        return cleaned

    @property
    def octaves(self) -> list[list[KeyRow]]:
        """The rows cut before every C, as the hand sees the keyboard."""
        return [list(rows) for _, rows in groupby(self.rows, key=lambda row: (row.key - KEY_OF_C1) // 12)]

    def circumstances(self) -> dict:
        names = ("stage", "humidity_percent", "note")
        return {name: self.cleaned_data[name] for name in names} | {"on": self.cleaned_data["weighed_on"]}

    @property
    def wrong_rows(self) -> list[KeyRow]:
        return [row for row in self.rows if row.wrong]

    def _row(self, position: int) -> KeyRow:
        down, up = (str(self.data.get(f"{name}{position}", "")).strip() for name in ("down", "up"))
        return KeyRow(self.instrument.first_key + position - 1, position, down, up)

    def _typed(self, row: KeyRow) -> Reading | None:
        if not row.down and not row.up:
            return None
        if not row.down:
            row.wrong.append("The down-weight is missing.")
            return None
        try:
            down = grams(row.down)
            up = grams(row.up) if row.up and row.up.casefold() not in NO_RETURN else None
        except ValueError as reason:
            row.wrong.append(str(reason))
            return None
        row.wrong += self._problems(row.key, down, up)
        return (row.key, down, up)

    def _pasted_lines(self, text: str) -> list[Reading]:
        lines, sentences = parse_reading_lines(text, self.instrument.first_key, self.instrument.key_count)
        for line in lines:
            sentences += [
                f"Line {line.line}: {sentence}"
                for sentence in self._problems(line.key, line.down_g, line.up_g)
            ]
        for sentence in sentences:
            self.add_error("pasted", sentence)
        return [(line.key, line.down_g, line.up_g) for line in lines]

    def _problems(self, key: int, down: Decimal, up: Decimal | None) -> list[str]:
        problems = reading_problems(self.instrument.first_key, self.instrument.key_count, key, down, up)
        return [problem.sentence for problem in problems]
