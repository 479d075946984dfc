import csv
import zipfile
from datetime import UTC, date, datetime
from decimal import Decimal
from io import BytesIO, StringIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import load_workbook

from instruments.exports import csv_cell, csv_lines, csv_response, write_xlsx, xlsx_response
from instruments.tables import read_table
from tests.instruments.calc.test_cells import ARMED, PLAIN

# A NUL is in no text that a database would keep.
TEXTS_OF_A_FILE = [text for text in [*PLAIN, *ARMED] if text and "\0" not in text]
HEADER = ("Stock number", "Note")


def csv_bytes(rows) -> bytes:
    return "".join(csv_lines(HEADER, rows)).encode()


def xlsx_bytes(rows) -> bytes:
    target = BytesIO()
    write_xlsx(target, HEADER, rows)
    return target.getvalue()


def sheet_of(content: bytes):
    return load_workbook(BytesIO(content)).active


def test_csv_quotes_every_cell_and_ends_lines_as_the_standard_says():
    assert csv_bytes([("26-001", 'a "b"\nc')]).decode() == (
        '\ufeff"Stock number","Note"\r\n"26-001","a ""b""\nc"\r\n'
    )


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (-5, "-5"),
        (Decimal("-1200.50"), "-1200.50"),
        (Decimal("1E+3"), "1000"),
        (49.5, "49.5"),
        (date(2026, 3, 21), "2026-03-21"),
        (datetime(2026, 7, 1, 9, 30, tzinfo=UTC), "2026-07-01 10:30:00+01:00"),
        ("-5", "'-5"),
    ],
)
def test_numbers_stay_numbers_and_texts_are_guarded(value, cell):
    assert csv_cell(value) == cell


@pytest.mark.parametrize("text", ARMED)
def test_no_csv_cell_begins_like_a_formula(text):
    content = csv_bytes([(text, text)]).decode("utf-8-sig")
    _, row = csv.reader(StringIO(content, newline=""))
    assert row == [f"'{text}", f"'{text}"]


@pytest.mark.parametrize("text", ARMED)
def test_no_xlsx_cell_is_a_live_formula(text):
    content = xlsx_bytes([(text, text)])
    cells = sheet_of(content)[2]
    assert [(cell.data_type, cell.quotePrefix) for cell in cells] == [("s", True), ("s", True)]
    assert b"<f>" not in zipfile.ZipFile(BytesIO(content)).read("xl/worksheets/sheet1.xml")


@pytest.mark.parametrize("make", [csv_bytes, xlsx_bytes])
@pytest.mark.parametrize("text", TEXTS_OF_A_FILE)
def test_text_comes_back_as_it_went_out(make, text):
    table = read_table(SimpleUploadedFile("stock", make([("26-001", text)])))
    expected = text.replace("\r", "\n") if make is xlsx_bytes else text  # XML 1.0, section 2.11
    assert table.rows[0].cells == {"Stock number": "26-001", "Note": expected}


def test_xlsx_numbers_and_days_are_real_ones():
    row = (Decimal("12.50"), date(2026, 3, 21))
    assert [cell.value for cell in sheet_of(xlsx_bytes([row]))[2]] == [12.5, datetime(2026, 3, 21)]


def test_xlsx_keeps_its_heading_in_sight():
    sheet = sheet_of(xlsx_bytes([]))
    assert (sheet.freeze_panes, sheet["A1"].font.b) == ("A2", True)


def test_xlsx_text_longer_than_a_cell_is_cut_with_a_mark():
    text = sheet_of(xlsx_bytes([("26-001", "x" * 40_000)]))["B2"].value
    assert (len(text), text[-1]) == (32_767, "…")


def test_xlsx_text_that_looks_like_an_error_is_text():
    assert sheet_of(xlsx_bytes([("26-001", "#N/A")]))["B2"].data_type == "s"


def test_rows_are_taken_one_by_one_while_they_are_sent():
    taken = []

    def rows():
        for number in range(3):
            taken.append(number)
            yield (number, "")

    lines = csv_lines(HEADER, rows())
    next(lines), next(lines)
    assert taken == [0]


def test_csv_is_sent_as_a_download_under_a_safe_name():
    answer = csv_response('stock\r\n"x.csv', HEADER, [])
    assert answer["Content-Disposition"] == 'attachment; filename="stock\\"x.csv"'
    assert answer["Content-Type"] == "text/csv; charset=utf-8"


def test_xlsx_is_sent_as_a_download():
    answer = xlsx_response("stock.xlsx", HEADER, [("26-001", "")])
    assert answer["Content-Disposition"] == 'attachment; filename="stock.xlsx"'
    assert sheet_of(b"".join(answer.streaming_content))["A2"].value == "26-001"
