import zipfile
from datetime import date, datetime
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import Workbook

from instruments.tables import MOST_ROWS, Row, Table, TableRefused, read_table

PLAIN = Table(("Maker", "Serial"), (Row(2, {"Maker": "Halden & Rook", "Serial": "21345"}),))


def read(content: bytes, name="stock.csv") -> Table:
    return read_table(SimpleUploadedFile(name, content))


def workbook(*rows) -> bytes:
    book, target = Workbook(), BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(target)
    return target.getvalue()


def repacked(content: bytes, **parts: bytes) -> bytes:
    """The workbook with parts put in the place of its own; `sheet` is its first sheet."""
    names = {"sheet": "xl/worksheets/sheet1.xml", "strings": "xl/sharedStrings.xml"}
    changed = {names.get(name, name): body for name, body in parts.items()}
    target = BytesIO()
    with zipfile.ZipFile(BytesIO(content)) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in [*old.namelist(), *(set(changed) - set(old.namelist()))]:
            new.writestr(name, changed[name] if name in changed else old.read(name))
    return target.getvalue()


def spoilt_lzma() -> bytes:
    """A zip packed by a method that no spreadsheet uses, with a byte of it changed."""
    target = BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_LZMA) as packed:
        packed.writestr("xl/workbook.xml", "<workbook/>" * 50)
    content = target.getvalue()
    begin = content.index(b"xl/workbook.xml") + len(b"xl/workbook.xml")
    return content[:begin] + bytes(8) + content[begin + 8 :]


@pytest.mark.parametrize(
    "content",
    [
        b"Maker,Serial\r\nHalden & Rook,21345\r\n",
        b"\xef\xbb\xbfMaker,Serial\nHalden & Rook,21345",
        b"Maker;Serial\r\nHalden & Rook;21345\r\n",
        b"Maker\tSerial\r\nHalden & Rook\t21345\r\n",
        "Maker,Serial\r\nHalden & Rook,21345\r\n".encode("utf-16"),
        b'"Maker","Serial"\r\n"Halden & Rook","21345"\r\n,\r\n\r\n',
        workbook(("Maker", "Serial"), ("Halden & Rook", 21345)),
        workbook(("Maker", "Serial", None), ("Halden & Rook", 21345.0, None), (None, None)),
    ],
    ids=[
        "commas",
        "byte order mark",
        "semicolons",
        "tabs",
        "UTF-16",
        "blank rows",
        "XLSX",
        "XLSX with blanks",
    ],
)
def test_table_is_read_from_whatever_a_spreadsheet_writes(content):
    assert read(content) == PLAIN


def test_note_of_the_separator_is_not_taken_for_the_heading():
    assert read(b"sep=;\r\nMaker;Serial\r\nHalden & Rook;21345\r\n").rows[0].number == 3


def test_letters_of_older_windows_programs_are_read():
    assert read("Maker\r\nFlügelbau Örn\r\n".encode("cp1252")).rows[0].cells == {"Maker": "Flügelbau Örn"}


def test_row_number_is_the_one_the_spreadsheet_shows():
    assert [row.number for row in read(b'Note\n"two\nlines"\n\nlast\n').rows] == [2, 4]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (12.0, "12"),
        (1200.5, "1200.5"),
        (0.1, "0.1"),
        (1e21, "1000000000000000000000"),
        (True, "yes"),
        (date(2026, 3, 21), "2026-03-21"),
        (datetime(2026, 3, 21, 9, 5), "2026-03-21 09:05:00"),
        ("=1+1", ""),  # a formula that no spreadsheet has calculated yet
    ],
)
def test_xlsx_value_is_read_as_text(value, text):
    assert read(workbook(("A", "B"), (value, "x"))).rows[0].cells["A"] == text


def test_short_row_is_filled_with_nothing():
    assert read(b"A,B\nx\n").rows[0].cells == {"A": "x", "B": ""}


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "has no rows"),
        (b"\r\n\r\n", "has no rows"),
        (b"Maker,Maker\nx,y\n", "two columns called “Maker”"),
        (b"Maker\nx,y\n", "Row 2 of stock.csv has “y” in a column without a heading"),
        (b'Maker\n"x"y\n', "cannot be read beyond line 2"),
        (b"Maker\n" + b"x" * 20_001, "longer than 20,000 characters"),
        (b",".join([b"x"] * 201), "more than 200 columns"),
        (b"A\n" + b"x\n" * (MOST_ROWS + 1), "goes on beyond row 10,000"),
        (b"\x89PNG\r\n\x1a\n\0\0\0", "is not a table"),
        (b"\xd0\xcf\x11\xe0" + bytes(9), "old Excel format"),
        (b"PK\x03\x04" + bytes(50), "cannot be unpacked"),
        (workbook(("A",))[:-60], "cannot be unpacked"),
        (spoilt_lzma(), "cannot be unpacked"),
        (b"A\n\x81\n", "letters that cannot be read"),
        (workbook(("A",), *[("x",)] * (MOST_ROWS + 1)), "goes on beyond row 10,000"),
        (workbook(["x"] * 201), "more than 200 columns"),
        (repacked(workbook(("A",)), sheet=b"<worksheet><broken"), "is damaged"),
        (repacked(workbook(("A",)), sheet=b'<!DOCTYPE x [<!ENTITY a "b">]><worksheet/>'), "no table needs"),
        (repacked(workbook(("A",)), bomb=bytes(70_000_000)), "far more than a table needs"),
    ],
)
def test_bad_table_is_refused_in_words(content, words):
    with pytest.raises(TableRefused, match=words):
        read(content)


def test_zip_of_other_things_is_refused():
    target = BytesIO()
    with zipfile.ZipFile(target, "w") as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
    with pytest.raises(TableRefused, match=r"is not an Excel table; save it as \.xlsx or \.csv"):
        read(target.getvalue())


def test_table_over_ten_megabytes_is_refused_before_it_is_read():
    upload = SimpleUploadedFile("stock.csv", b"A\n")
    upload.size = 11 * 1024 * 1024
    with pytest.raises(TableRefused, match=r"stock\.csv is 11 MB"):
        read_table(upload)


CELL = '<row r="{row}"><c r="A{row}" t="inlineStr"><is><t>A</t></is></c></row>'
SHEET = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">{}</worksheet>'


def sheet(*rows: int) -> bytes:
    cells = "".join(CELL.format(row=row) for row in rows)
    return SHEET.format(f'<dimension ref="A1:XFD1048576"/><sheetData>{cells}</sheetData>').encode()


def test_sheet_that_claims_to_be_endless_is_read_as_far_as_it_goes():
    assert len(read(repacked(workbook(("A",)), sheet=sheet(1, 2, 3))).rows) == 2


def test_sheet_with_a_cell_at_its_far_end_is_refused():
    with pytest.raises(TableRefused, match="delete the empty rows at its end"):
        read(repacked(workbook(("A",)), sheet=sheet(1, 1_048_576)))
