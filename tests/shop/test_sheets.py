import zipfile
from datetime import date
from io import BytesIO

import pytest
from openpyxl import Workbook

from shop.sheets import SheetRefused, read_sheet


def workbook(*rows) -> bytes:
    book, target = Workbook(), BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(target)
    return target.getvalue()


@pytest.mark.parametrize(
    ("content", "read_as"),
    [
        ("kind,maker\nupright,Éloise\n".encode(), "CSV with commas, UTF-8"),
        ("\ufeffkind;maker\r\nupright;Éloise\r\n".encode(), "CSV with semicolons, UTF-8"),
        ("kind\tmaker\nupright\tÉloise\n".encode("utf-16"), "CSV with tabs, UTF-16"),
        ("kind;maker\nupright;Éloise\n".encode("cp1252"), "CSV with semicolons, Windows Western"),
    ],
)
def test_csv_is_read_as_different_programs_write_it(content, read_as):
    sheet = read_sheet(content)
    assert sheet.headings == ["kind", "maker"]
    assert sheet.rows[0].cells == ["upright", "Éloise"]
    assert sheet.read_as.startswith(read_as)


def test_a_separator_inside_quotes_parts_nothing():
    sheet = read_sheet(b'"kind, so to speak";maker\nupright;"Halden; Rook"\n')
    assert (sheet.headings[0], sheet.rows[0].cells[1]) == ("kind, so to speak", "Halden; Rook")


def test_cells_of_a_workbook_come_out_as_a_person_types_them():
    sheet = read_sheet(workbook(["height", "serial", "bought"], [122.0, 31447, date(2026, 3, 21)], [122.5]))
    assert [row.cells for row in sheet.rows] == [["122", "31447", "2026-03-21"], ["122.5", "", ""]]


def test_rows_keep_the_numbers_they_have_in_the_file():
    sheet = read_sheet(b"kind,maker\n\nupright,a\n,\ngrand,b\n")
    assert [row.number for row in sheet.rows] == [3, 5]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"\n\n", "There is nothing in the table."),
        (b"kind,maker\n", "headings but no rows"),
        (b"x" * (2 * 1024 * 1024 + 1), "larger than 2 MB"),
        (b"kind\n" + b"upright\n" * 501, "501 rows; at most 500"),
        (b"\n" * 5001, "longer than 5,000 lines"),
        (b"a," * 61 + b"\nx\n", "62 columns; at most 60"),
        (b"kind\n" + b"x" * 5001, "more than 5,000 characters"),
        (b"\xd0\xcf\x11\xe0\x00\x00\x00", "neither a CSV nor an XLSX file"),
        (b"PK\x03\x04 not a workbook", "damaged or not an XLSX file"),
        (b"kind\n\x81\x8d\n", "cannot be read. Save it as UTF-8."),
        (b"\xff\xfek", "not. Save it as UTF-8."),
    ],
)
def test_what_is_no_table_is_refused_with_a_sentence(content, sentence):
    with pytest.raises(SheetRefused, match=sentence):
        read_sheet(content)


def test_a_workbook_that_unpacks_to_a_flood_is_refused():
    target = BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", b" " * (41 * 1024 * 1024))
    with pytest.raises(SheetRefused, match="far too large"):
        read_sheet(target.getvalue())


def test_a_long_workbook_is_refused_whole_rather_than_cut():
    with pytest.raises(SheetRefused, match="501 rows"):
        read_sheet(workbook(["kind"], *[["upright"]] * 501))


def test_a_formula_counts_as_what_it_last_showed():
    assert read_sheet(workbook(["kind", "maker"], ["upright", "=1+1"])).rows[0].cells == ["upright", ""]


def test_a_heading_longer_than_a_reader_takes_is_refused():
    with pytest.raises(SheetRefused, match="badly quoted"):
        read_sheet(b"a" * 200_000 + b"\nb\n")
