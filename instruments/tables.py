"""Reading a table that somebody has sent: CSV from any spreadsheet program, or XLSX.

Nothing is believed before it is measured. What cannot be read raises `TableRefused` with a sentence.
"""

import csv
import io
import lzma
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.core.files.base import File

from instruments.calc.cells import unguarded
from instruments.file_names import shown_file_name

LARGEST_BYTES = 10 * 1024 * 1024
LARGEST_UNPACKED_BYTES = 60 * 1024 * 1024
MOST_PARTS = 500
MOST_ROWS = 10_000
MOST_COLUMNS = 200
LONGEST_CELL = 20_000
OLD_EXCEL = b"\xd0\xcf\x11\xe0"
ZIP = b"PK\x03\x04"
# What unpacking and reading a broken workbook raises.
DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    RuntimeError,
    SyntaxError,
    OSError,
    EOFError,
    LookupError,
    ValueError,
    TypeError,
    AttributeError,
)


class TableRefused(Exception):
    """A file that cannot be taken as a table; the message is a sentence for the person who sent it."""

    def __init__(self, sentence: str):
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True)
class Row:
    """One line of the table: its number as the spreadsheet shows it, and its cells by their heading."""

    number: int
    cells: dict[str, str]


@dataclass(frozen=True)
class Table:
    header: tuple[str, ...]
    rows: tuple[Row, ...]


def read_table(uploaded: File) -> Table:
    """The first sheet: headings in its first filled row, every cell as text, blank rows left out."""
    name = shown_file_name(uploaded.name, otherwise="The file")
    if uploaded.size > LARGEST_BYTES:
        raise TableRefused(f"{name} is {uploaded.size / 1024 / 1024:.0f} MB; a table may be up to 10 MB.")
    uploaded.seek(0)
    content = uploaded.read()
    if content.startswith(OLD_EXCEL):
        raise TableRefused(f"{name} is in an old Excel format; save it as .xlsx or .csv and send that.")
    lines = _xlsx_rows(content, name) if content.startswith(ZIP) else _csv_rows(content, name)
    return _table(lines, name)


def _table(lines: Iterable[tuple[int, Sequence[str]]], name: str) -> Table:
    filled = ((number, cells) for number, cells in lines if any(cells))
    _, first = next(filled, (0, ()))
    header = tuple(cell.strip() for cell in first)
    named = [heading for heading in header if heading]
    if not named:
        raise TableRefused(f"{name} has no rows.")
    if twice := next((heading for heading in named if named.count(heading) > 1), None):
        raise TableRefused(f"{name} has two columns called “{twice}”.")
    rows = tuple(Row(number, _by_heading(header, number, cells, name)) for number, cells in filled)
    return Table(tuple(named), rows)


def _by_heading(header: tuple[str, ...], number: int, cells: Sequence[str], name: str) -> dict[str, str]:
    named: dict[str, str] = {heading: "" for heading in header if heading}
    for position, cell in enumerate(cells):
        heading = header[position] if position < len(header) else ""
        if cell and not heading:
            raise TableRefused(f"Row {number} of {name} has “{cell[:40]}” in a column without a heading.")
        if heading:
            named[heading] = cell
    return named


def _limited(rows: Iterable[tuple[int, Sequence[str]]], name: str) -> Iterator[tuple[int, list[str]]]:
    for count, (number, cells) in enumerate(rows):
        if count > MOST_ROWS:
            raise TableRefused(
                f"{name} goes on beyond row {MOST_ROWS:,}; delete the empty rows at its end, or send parts."
            )
        if len(cells) > MOST_COLUMNS:
            raise TableRefused(f"Row {number} of {name} has more than {MOST_COLUMNS} columns.")
        if any(len(cell) > LONGEST_CELL for cell in cells):
            raise TableRefused(
                f"A cell in row {number} of {name} is longer than {LONGEST_CELL:,} characters."
            )
        yield number, [unguarded(cell) for cell in cells]


def _csv_rows(content: bytes, name: str) -> Iterator[tuple[int, list[str]]]:
    text = _decoded(content, name)
    first_line, _, rest = text.partition("\n")
    skipped = 0
    if first_line.lower().startswith("sep="):  # a note that some programs write for themselves
        text, skipped = rest, 1
        first_line = rest.partition("\n")[0]
    delimiter = max(",;\t", key=first_line.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        yield from _limited(enumerate(reader, start=1 + skipped), name)
    except csv.Error as error:
        raise TableRefused(
            f"{name} cannot be read beyond line {reader.line_num + skipped}: {error}."
        ) from error


def _decoded(content: bytes, name: str) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    elif b"\0" in content[:4096]:
        raise TableRefused(f"{name} is not a table; send CSV or XLSX.")
    else:
        encodings = ["utf-8-sig", "cp1252"]  # Excel still writes the second
    for encoding in encodings:
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise TableRefused(f"{name} has letters that cannot be read; save it as “CSV UTF-8” and send that.")


def _xlsx_rows(content: bytes, name: str) -> Iterator[tuple[int, list[str]]]:
    from openpyxl import load_workbook

    _refuse_bomb(content, name)
    try:
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
        sheet = book.worksheets[0]
        sheet.reset_dimensions()  # a file may claim any size for itself
        found = sheet.iter_rows(max_row=MOST_ROWS + 2, max_col=MOST_COLUMNS + 1, values_only=True)
        rows = ((number, _without_empty_end(row)) for number, row in enumerate(found, start=1))
        yield from _limited(rows, name)
    except DAMAGE as error:
        raise TableRefused(f"{name} is damaged, or not a spreadsheet; save it as .xlsx once more.") from error


def _refuse_bomb(content: bytes, name: str) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            parts = packed.infolist()
            if sum(part.file_size for part in parts) > LARGEST_UNPACKED_BYTES or len(parts) > MOST_PARTS:
                raise TableRefused(f"{name} unpacks to far more than a table needs.")
            if "xl/workbook.xml" not in packed.namelist():
                raise TableRefused(f"{name} is not an Excel table; save it as .xlsx or .csv and send that.")
            for part in parts:
                with packed.open(part) as opened:
                    if part.filename.endswith((".xml", ".rels")) and b"<!DOCTYPE" in opened.read(2048):
                        raise TableRefused(f"{name} holds instructions that no table needs.")
    except DAMAGE as error:
        raise TableRefused(f"{name} is damaged: it cannot be unpacked.") from error


def _without_empty_end(row: Sequence[object]) -> list[str]:
    cells = [_as_text(value) for value in row]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _as_text(value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case float():
            return format(Decimal(repr(value)).normalize(), "f")
        case datetime() if value.time() == value.min.time():
            return value.date().isoformat()
        case datetime():
            return value.isoformat(sep=" ", timespec="seconds")
        case date():
            return value.isoformat()
    return str(value)
