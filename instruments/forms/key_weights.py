"""What every form with weights of keys shares: a box for each weight, a place to paste, a file."""

from dataclasses import dataclass, field
from decimal import Decimal

from django import forms

from instruments.calc import compass
from instruments.calc.reading_lines import (
    DOWN,
    UP,
    LineReading,
    grams,
    parse_reading_column,
    parse_reading_lines,
    up_grams,
)
from instruments.forms.key_table import KeyTable, RowOfKey
from instruments.models import Instrument
from instruments.tables import TableRefused, read_table

Reading = tuple[int, Decimal | None, Decimal | None]
HEADINGS = ("Key", "Down", "Up")
LINES = "lines"
HELD = {
    LINES: "Key, down and up",
    DOWN: "Down-weights alone, key after key",
    UP: "Up-weights alone, key after key",
    "both": "Down and up, key after key",
}
COLUMNS = {DOWN: (DOWN,), UP: (UP,), "both": (DOWN, UP)}


@dataclass
class KeyRow(RowOfKey):
    """One line of the table: what stands in its two boxes and what is wrong with it."""

    down: str
    up: str
    wrong: list[str] = field(default_factory=list)


class KeyWeightsForm(KeyTable, forms.Form):
    """`readings` holds what was given: (key, down, up), lowest key first, a weight not given being None.

    Each form built on it says by `problems_of(key, down, up)` what cannot stand in a row, in sentences.
    """

    pasted = forms.CharField(
        label="Paste readings",
        required=False,
        max_length=10_000,
        strip=False,
        widget=forms.Textarea(
            attrs={"rows": 4, "placeholder": "C4 52 28\n41 50,5 26", "spellcheck": "false"}
        ),
        help_text="One key a line. A dash where a key does not return by itself.",
    )
    held = forms.ChoiceField(
        label="What a line holds",
        choices=HELD.items(),
        required=False,
        widget=forms.RadioSelect,
        initial=LINES,
    )
    from_key = forms.CharField(
        label="Beginning at key",
        required=False,
        max_length=4,
        widget=forms.TextInput(attrs={"autocomplete": "off", "placeholder": "the lowest"}),
    )
    file = forms.FileField(
        label="Or a file",
        required=False,
        help_text=f"CSV or XLSX with the headings {', '.join(HEADINGS)}.",
        widget=forms.FileInput(attrs={"accept": ".csv,.xlsx"}),
    )

    def __init__(self, *args, instrument: Instrument, **options):
        super().__init__(*args, **options)
        self.instrument = instrument
        self.rows = [self._row(position) for position in range(1, instrument.key_count + 1)]
        self.readings: list[Reading] = []

    def clean(self) -> dict:
        cleaned = super().clean()
        given = {row.key: reading for row in self.rows if (reading := self._typed(row))}
        for name, found in (("pasted", self._pasted_lines()), ("file", self._file_lines())):
            for line in found:
                self._add(given, name, line)
        self.readings = sorted(given.values(), key=lambda reading: reading[0])
        if self.wrong_rows:
            self.add_error(None, "Some keys in the table need another look; they are marked.")
        return cleaned

    def _row(self, position: int) -> KeyRow:
        down, up = (str(self.data.get(f"{name}{position}", "")).strip() for name in (DOWN, UP))
        return KeyRow(self.instrument.first_key + position - 1, position, down, up)

    def _typed(self, row: KeyRow) -> Reading | None:
        """What the boxes of a row say; a box left empty says nothing."""
        if not row.down and not row.up:
            return None
        try:
            down = grams(row.down) if row.down else None
            up = up_grams(row.up) if row.up else None
        except ValueError as reason:
            row.wrong.append(str(reason))
            return None
        row.wrong += self.problems_of(row.key, down, up)
        return (row.key, down, up)

    def _add(self, given: dict[int, Reading], name: str, line: LineReading) -> None:
        """One weight for each side of a key, however many ways it was given."""
        _, down, up = given.get(line.key, (line.key, None, None))
        if (down is not None and line.down_g not in {None, down}) or (
            up is not None and line.up_g not in {None, up}
        ):
            self.add_error(name, f"{compass.note_label(line.key)} is given twice, with different weights.")
        reading = (line.key, line.down_g if down is None else down, line.up_g if up is None else up)
        for sentence in self.problems_of(*reading):
            self.add_error(name, f"Line {line.line}: {sentence}")
        given[line.key] = reading

    def _pasted_lines(self) -> list[LineReading]:
        text, held = self.cleaned_data.get("pasted", ""), self.cleaned_data.get("held") or LINES
        size = (self.instrument.first_key, self.instrument.key_count)
        if held == LINES or not text.strip():
            return self._told("pasted", *parse_reading_lines(text, *size))
        try:
            from_key = self._from_key()
        except ValueError as reason:
            self.add_error("from_key", str(reason))
            return []
        return self._told(
            "pasted", *parse_reading_column(text, *size, columns=COLUMNS[held], from_key=from_key)
        )

    def _from_key(self) -> int | None:
        typed = self.cleaned_data.get("from_key", "")
        if not typed:
            return None
        keys = compass.parse_keys(typed, self.instrument.first_key, self.instrument.key_count)
        if len(keys) != 1:
            raise ValueError("Name one key, such as 1 or C4.")
        return keys[0]

    def _file_lines(self) -> list[LineReading]:
        if not (uploaded := self.cleaned_data.get("file")):
            return []
        try:
            table = read_table(uploaded)
        except TableRefused as refused:
            self.add_error("file", refused.sentence)
            return []
        named = {heading.casefold(): heading for heading in table.header}
        if missing := [heading for heading in HEADINGS[:2] if heading.casefold() not in named]:
            self.add_error("file", f"These headings are missing: {', '.join(missing)}.")
            return []
        lines: dict[int, str] = {}
        for row in table.rows:
            cells = (row.cells.get(named.get(heading.casefold(), ""), "") for heading in HEADINGS)
            lines[row.number] = " ".join(cell.strip().replace(" ", "") for cell in cells).strip()
        text = "\n".join(lines.get(number, "") for number in range(1, max(lines, default=0) + 1))
        return self._told(
            "file", *parse_reading_lines(text, self.instrument.first_key, self.instrument.key_count)
        )

    def _told(self, name: str, lines: list[LineReading], sentences: list[str]) -> list[LineReading]:
        for sentence in sentences:
            self.add_error(name, sentence)
        return lines
