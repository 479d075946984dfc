"""A table of existing stock, read row by row by the same form that logs one instrument."""

from dataclasses import dataclass, field

from django import forms

from instruments.forms.identity import USUAL_COMPASSES
from instruments.models import Instrument, folded
from shop.forms.intake import IntakeForm
from shop.models import Person
from shop.sellers import of_that_name
from shop.sheets import LARGEST_BYTES, Sheet, SheetRefused, SheetRow

# Heading in the file, field of the form, what to write. The order is that of the file to be downloaded.
COLUMNS = [
    ("kind", "kind", "upright, grand or square"),
    ("maker", "maker", "“unknown” is an answer"),
    ("keys", "keys", "88, 85 or another number"),
    ("lowest key", "first_note", "only for other numbers: F1, C1 …"),
    ("name on the fall", "name_on_fall", "as it stands there"),
    ("model", "model", ""),
    ("serial", "serial", ""),
    ("serial read at", "serial_read_at", "frame, soundboard, a key …"),
    ("made", "made", "1912, about 1912, 1910 to 1914, 1910s"),
    ("date known", "made_basis", "serial, mark, document, told or style"),
    ("date note", "made_basis_note", ""),
    ("height cm", "height_cm", "122 or 122.5"),
    ("length cm", "length_cm", ""),
    ("width cm", "width_cm", ""),
    ("depth cm", "depth_cm", ""),
    ("weight kg", "weight_kg", ""),
    ("stringing", "stringing", "overstrung or straight"),
    ("damping", "damping", "under or over"),
    ("frame", "frame", "full iron frame, part iron frame or wooden frame"),
    ("pedals", "pedals", ""),
    ("wood", "case_wood", "walnut, mahogany …"),
    ("finish", "case_finish", "French polish, wax …"),
    ("naturals", "natural_covering", "ivory, celluloid, plastic …; empty is not settled"),
    ("sharps", "sharp_covering", "ebony, stained hardwood …"),
    ("where", "place", "in the workshop, in the showroom, in store …"),
    ("seller", "seller_name", ""),
    ("route", "route", "private, trade, part exchange or gift"),
    ("price paid", "price_minor", "1250 or 1,250.00"),
    ("bought on", "bought_on", "2026-03-21 or 21/03/2026"),
    ("history", "history", "as it was told"),
    ("told by", "told_by", "empty: the seller"),
]
NEEDED = ("kind", "maker", "keys")
FIELD_OF = {heading: name for heading, name, _ in COLUMNS} | {
    name.replace("_", " "): name for _, name, _ in COLUMNS
}
HEADING_OF = {name: heading for heading, name, _ in COLUMNS}
SHOWN_AT = {"key_count_other": "keys", "first_note": "keys", "told_by": "history"}


class StockFileForm(forms.Form):
    file = forms.FileField(
        label="CSV or XLSX file",
        help_text="Up to 500 rows and 2 MB. The first row holds the headings.",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.xlsx,text/csv"}),
    )

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > LARGEST_BYTES:
            raise forms.ValidationError("The file is larger than 2 MB. Split it into several.")
        return file


@dataclass
class Cell:
    text: str
    wrong: list[str] = field(default_factory=list)


@dataclass
class ImportRow:
    """One row of the file with what is wrong beside each cell; `elsewhere` has no cell to stand beside."""

    number: int
    cells: list[Cell]
    form: "RowForm"
    elsewhere: list[str] = field(default_factory=list)

    @property
    def is_wrong(self) -> bool:
        return not self.form.is_valid()


class RowForm(IntakeForm):
    """The page's own form, except that nobody can be asked back about a seller."""

    def __init__(self, data):
        super().__init__(data)
        # The fields say all that the table's constraints do: the database need not be asked for each row.
        self.instance.validate_constraints = lambda exclude=None: None
        del self.fields["photos"]
        for offered in self.fields.values():
            if isinstance(offered, forms.ChoiceField):
                words = ", ".join(str(label) for value, label in offered.choices if value)
                offered.error_messages["invalid_choice"] = f"“%(value)s” is not one of: {words}."
        self.data = data | {
            name: _choice(self.fields[name].choices, data[name])
            for name in data
            if isinstance(self.fields.get(name), forms.ChoiceField)
        }
        self._split_keys()

    def find_seller_matches(self) -> list[Person]:
        return []

    def settle_seller(self, people: list[Person]) -> None:
        """The person on file of exactly that name; two of one name cannot be told apart from here."""
        namesakes = of_that_name(self.data.get("seller_name", ""), people)
        if len(namesakes) == 1:
            self.cleaned_data["seller_choice"] = namesakes[0]
        elif namesakes:
            self.add_error("seller_name", "We know two of that name. Leave it out and add it on the page.")

    def _split_keys(self) -> None:
        keys = self.data.get("keys", "")
        if keys and keys not in USUAL_COMPASSES:
            self.data |= {"keys": "other", "key_count_other": keys}


class StockImport:
    """A whole file: its columns, its rows, and whether all of it may be taken in."""

    def __init__(self, sheet: Sheet):
        self.sheet = sheet
        self.columns = [FIELD_OF.get(_plain(heading), "") for heading in sheet.headings]
        named = list(zip(sheet.headings, self.columns, strict=True))
        self.headings = [heading for heading, name in named if name]
        self.not_read = [heading for heading, name in named if heading and not name]
        self._refuse_headings()
        self.rows = [self._row(row) for row in sheet.rows]
        self._settle_sellers()
        for row in self.rows:
            self._place_errors(row)

    @property
    def wrong_rows(self) -> list[ImportRow]:
        return [row for row in self.rows if row.is_wrong]

    @property
    def may_be_taken_in(self) -> bool:
        return not self.wrong_rows

    @property
    def seen_before(self) -> list[str]:
        """Stock that carries the maker and serial number of a row: perhaps it is here already."""
        serials = {row.form.data.get("serial", "") for row in self.rows} - {""}
        stock = Instrument.objects.filter(serial__in=serials).values_list("stock_number", "maker", "serial")
        have = {(folded(maker), serial): number for number, maker, serial in stock}
        sentences = []
        for row in self.rows:
            of_row = (folded(row.form.data.get("maker", "")), row.form.data.get("serial", ""))
            if number := have.get(of_row):
                sentences.append(f"Row {row.number} has the maker and serial number of {number}.")
        return sentences

    def records(self) -> list[dict]:
        return [row.form.record() for row in self.rows]

    def _refuse_headings(self) -> None:
        missing = [name for name in NEEDED if name not in self.columns]
        if missing:
            names = " and ".join(f"“{HEADING_OF[name]}”" for name in missing)
            raise SheetRefused(f"The first row has no heading {names}. Without it nothing can be logged.")
        twice = {name for name in self.columns if name and self.columns.count(name) > 1}
        if twice:
            names = " and ".join(f"“{HEADING_OF[name]}”" for name in sorted(twice))
            raise SheetRefused(f"The heading {names} stands twice in the first row.")

    def _row(self, row: SheetRow) -> ImportRow:
        known = [(name, text) for name, text in zip(self.columns, row.cells, strict=True) if name]
        return ImportRow(row.number, [Cell(text) for _, text in known], RowForm(dict(known)))

    def _settle_sellers(self) -> None:
        names = {row.form.data.get("seller_name", "") for row in self.rows} - {""}
        people = list(Person.objects.standing().filter(name__in=names))
        for row in self.rows:
            if row.form.is_valid():
                row.form.settle_seller(people)

    def _place_errors(self, row: ImportRow) -> None:
        shown = [name for name in self.columns if name]
        for name in row.form.errors:
            sentences = row.form[name].errors if name in row.form.fields else row.form.errors[name]
            column = name if name in shown else SHOWN_AT.get(name)
            if column in shown:
                row.cells[shown.index(column)].wrong += sentences
            else:
                heading = HEADING_OF.get(name, "")
                row.elsewhere += [f"{heading}: {sentence}" if heading else sentence for sentence in sentences]


def _plain(heading: str) -> str:
    return " ".join(folded(heading).replace("_", " ").split())


def _choice(choices, typed: str) -> str:
    """The value meant by a value or a label typed in any case: "Straight-strung" is straight."""
    wanted = folded(typed).strip()
    return next((value for value, label in choices if wanted in (folded(value), folded(str(label)))), typed)
