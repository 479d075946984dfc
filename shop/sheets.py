"""Tables people bring: CSV as different programs write it, and XLSX. Text comes out, cell by cell."""

import csv
import zipfile
from dataclasses import dataclass, field
from datetime import date, datetime
from io import BytesIO, StringIO

LARGEST_BYTES = 2 * 1024 * 1024
LARGEST_UNPACKED = 40 * 1024 * 1024
MOST_ROWS = 500
MOST_LINES = 5000  # empty ones too
MOST_COLUMNS = 60
LONGEST_CELL = 5000
UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs"}


class SheetRefused(Exception):
    """A file that is not a table we can read; the text is a sentence for the person who sent it."""


@dataclass(frozen=True)
class SheetRow:
    number: int
    cells: list[str]


@dataclass(frozen=True)
class Sheet:
    """The headings, the rows with their numbers in the file, and how the file was read."""

    headings: list[str]
    rows: list[SheetRow] = field(repr=False)
    read_as: str


def read_sheet(content: bytes) -> Sheet:
    """The first sheet of an XLSX file, or a CSV file in UTF-8, UTF-16 or Windows' Western encoding."""
    if not content:
        raise SheetRefused("The file is empty.")
    if len(content) > LARGEST_BYTES:
        raise SheetRefused("The file is larger than 2 MB. Split it into several.")
    if content.startswith(b"PK\x03\x04"):
        lines, read_as = _xlsx_lines(content), "an XLSX workbook, its first sheet"
    elif b"\x00" in content[:4096] and not content.startswith(UTF16_MARKS):
        raise SheetRefused("That is neither a CSV nor an XLSX file. Save the table as one of these.")
    else:
        lines, read_as = _csv_lines(content)
    return _sheet(lines, read_as)


def _sheet(lines: list[list[str]], read_as: str) -> Sheet:
    if len(lines) > MOST_LINES:
        raise SheetRefused(f"The table is longer than {MOST_LINES:,} lines. Split it into several.")
    numbered = [SheetRow(number, cells) for number, cells in enumerate(lines, start=1) if any(cells)]
    if not numbered:
        raise SheetRefused("There is nothing in the table.")
    headings, rows = numbered[0].cells, numbered[1:]
    if len(headings) > MOST_COLUMNS:
        raise SheetRefused(f"The table has {len(headings)} columns; at most {MOST_COLUMNS} are read.")
    if len(rows) > MOST_ROWS:
        raise SheetRefused(
            f"The table has {len(rows)} rows; at most {MOST_ROWS} are taken in at once. Split it up."
        )
    if not rows:
        raise SheetRefused("There are headings but no rows under them.")
    width = len(headings)
    return Sheet(headings, [SheetRow(row.number, _to_width(row.cells, width)) for row in rows], read_as)


def _to_width(cells: list[str], width: int) -> list[str]:
    return [*cells[:width], *[""] * (width - len(cells))]


def _csv_lines(content: bytes) -> tuple[list[list[str]], str]:
    text, encoding = _decoded(content)
    try:
        separator = _separator(text)
        reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=False)
        lines = [[_cell(cell) for cell in line] for line in reader]
    except csv.Error as error:
        raise SheetRefused(f"The table breaks off or is badly quoted ({error}).") from error
    return lines, f"CSV with {SEPARATORS[separator]}, {encoding}"


def _decoded(content: bytes) -> tuple[str, str]:
    if content.startswith(UTF16_MARKS):
        try:
            return content.decode("utf-16"), "UTF-16"
        except UnicodeDecodeError as error:
            raise SheetRefused("The file says it is UTF-16 but is not. Save it as UTF-8.") from error
    for encoding, words in (("utf-8-sig", "UTF-8"), ("cp1252", "Windows Western, as it is not UTF-8")):
        try:
            return content.decode(encoding), words
        except UnicodeDecodeError:
            continue
    raise SheetRefused("The letters of the file cannot be read. Save it as UTF-8.")


def _separator(text: str) -> str:
    """The one that parts the heading line into most pieces, quoted commas apart."""
    heading = next((line for line in text.splitlines() if line.strip()), "")
    return max(SEPARATORS, key=lambda mark: len(next(csv.reader([heading], delimiter=mark), [])))


def _xlsx_lines(content: bytes) -> list[list[str]]:
    from openpyxl import (
        load_workbook,  # it brings numpy: half a second, and memory in each process that serves
    )

    try:
        with zipfile.ZipFile(BytesIO(content)) as archive:
            if sum(part.file_size for part in archive.infolist()) > LARGEST_UNPACKED:
                raise SheetRefused(
                    "The workbook is far too large for a stock list. Save the one sheet alone."
                )
        workbook = load_workbook(BytesIO(content), read_only=True, data_only=True, keep_links=False)
        sheet = workbook.worksheets[0]
        sheet.reset_dimensions()  # what the file claims of its size is not believed
        limits = {"max_row": MOST_LINES + 1, "max_col": MOST_COLUMNS + 1}
        lines = [[_cell(cell) for cell in line] for line in sheet.iter_rows(values_only=True, **limits)]
        workbook.close()
    except SheetRefused:
        raise
    except Exception as error:  # openpyxl raises whatever its XML and zip readers meet
        raise SheetRefused("The workbook is damaged or not an XLSX file.") from error
    return [_trimmed(line) for line in lines]


def _trimmed(cells: list[str]) -> list[str]:
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _cell(value) -> str:
    """A cell as a person would have typed it: 122.0 is 122, a day is 2026-03-21."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        value = value.date()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        value = int(value) if value.is_integer() else repr(value)
    text = str(value).replace("\x00", "").strip()
    if len(text) > LONGEST_CELL:
        raise SheetRefused(f"A cell holds more than {LONGEST_CELL:,} characters.")
    return text
