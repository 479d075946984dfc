from django import forms

from instruments.calc.serial_marks import EARLIEST_YEAR, LATEST_YEAR
from instruments.models import SerialMark
from instruments.states import Exactness
from instruments.tables import Table, TableRefused, read_table

HEADINGS = {
    "Maker": "maker",
    "Serial number": "serial",
    "Year": "year",
    "How exact": "exactness",
    "Source": "source",
}
MOST_MARKS = 5000


def whole_number(label: str, *, least: int, most: int, sentence: str) -> forms.IntegerField:
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={"invalid": sentence, "min_value": sentence, "max_value": sentence},
    )


class SerialMarkForm(forms.ModelForm):
    serial = whole_number(
        "Serial number",
        least=1,
        most=10**12,
        sentence="A serial number is a figure of 1 or more, without letters.",
    )
    year = whole_number(
        "Year",
        least=EARLIEST_YEAR,
        most=LATEST_YEAR,
        sentence=f"The year lies between {EARLIEST_YEAR} and {LATEST_YEAR}.",
    )

    class Meta:
        model = SerialMark
        fields = ("maker", "serial", "year", "exactness", "source")
        widgets = {
            "maker": forms.TextInput(attrs={"autocomplete": "off"}),
            "source": forms.TextInput(attrs={"autocomplete": "off"}),
        }
        help_texts = {
            "source": "Where the shop has it from: a dated paper, a pencil date seen, a printed table."
        }

    def clean(self) -> dict:
        cleaned = super().clean()
        same = SerialMark.objects.filter(
            maker_folded=SerialMark(maker=cleaned.get("maker", "")).folded_maker,
            serial=cleaned.get("serial"),
            year=cleaned.get("year"),
            source=cleaned.get("source", ""),
        )
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error(None, "This mark is on file already, from the same source.")
        return cleaned

    def said(self) -> dict:
        return {name: self.cleaned_data[name] for name in self.Meta.fields}


class RowForm(SerialMarkForm):
    """One row of a table; how exact it is may be said by the word or by the sentence."""

    def __init__(self, cells: dict[str, str]):
        words = {label.casefold(): value for value, label in Exactness.choices}
        said = cells.get("How exact", "").strip()
        data = {name: cells.get(heading, "") for heading, name in HEADINGS.items()}
        super().__init__(data | {"exactness": words.get(said.casefold(), said.casefold()) or "table"})

    def clean(self) -> dict:
        return self.cleaned_data  # whether it is on file is asked once, for all rows

    def _post_clean(self) -> None:
        """The fields have said all there is to say: Django would ask the database about each row again."""


class MarksFileForm(forms.Form):
    file = forms.FileField(
        label="The table",
        help_text=f"CSV or XLSX with the headings {', '.join(HEADINGS)}. All rows are taken, or none.",
        widget=forms.FileInput(attrs={"accept": ".csv,.xlsx"}),
        error_messages={"empty": "This file is empty."},
    )

    def clean_file(self) -> list[dict]:
        """Every row ready to be added; a sentence for each row that is wrong."""
        try:
            table = read_table(self.cleaned_data["file"])
        except TableRefused as refused:
            raise forms.ValidationError(refused.sentence) from refused
        if missing := [heading for heading in HEADINGS if heading not in table.header]:
            raise forms.ValidationError(f"These headings are missing: {', '.join(missing)}.")
        if len(table.rows) > MOST_MARKS:
            raise forms.ValidationError(
                f"At most {MOST_MARKS} rows at a time; this table has {len(table.rows)}."
            )
        return _rows(table)


def _rows(table: Table) -> list[dict]:
    rows, wrong = [], []
    for row in table.rows:
        form = RowForm(row.cells)
        if form.is_valid():
            rows.append(form.said())
        else:
            wrong += [_sentence(row.number, form, name, errors) for name, errors in form.errors.items()]
    if wrong:
        more = [f"And {len(wrong) - 20} more."] if len(wrong) > 20 else []
        raise forms.ValidationError([*wrong[:20], *more])
    if not rows:
        raise forms.ValidationError("The table has no rows under its headings.")
    return rows


def _sentence(number: int, form: RowForm, name: str, errors) -> str:
    label = next((heading for heading, field in HEADINGS.items() if field == name), "The row")
    return f"Row {number}, {label}: {' '.join(errors)}"
