"""Writing tables for spreadsheets: the only place where CSV and XLSX are made.

Text can never become a formula; numbers stay numbers; days are ISO 8601. Rows may come from a generator:
nothing is gathered in memory, so hand over `queryset.iterator(chunk_size=...)` for long lists.
"""

import csv
import re
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import BinaryIO

from django.http import FileResponse, StreamingHttpResponse
from django.utils import timezone
from django.utils.http import content_disposition_header

from instruments.calc.cells import LONGEST_XLSX_TEXT, guarded, guarded_for_xlsx
from instruments.file_names import shown_file_name

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
NOT_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
BYTE_ORDER_MARK = "\ufeff"  # without it spreadsheets take UTF-8 for something else


def csv_lines(header: Sequence[str], rows: Iterable[Sequence[object]]) -> Iterator[str]:
    """The lines of a CSV file (RFC 4180), the first with a byte order mark."""
    writer = csv.writer(_Echo(), quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    yield BYTE_ORDER_MARK + writer.writerow([guarded(name) for name in header])
    for row in rows:
        yield writer.writerow([csv_cell(value) for value in row])


def csv_response(
    file_name: str, header: Sequence[str], rows: Iterable[Sequence[object]]
) -> StreamingHttpResponse:
    answer = StreamingHttpResponse(csv_lines(header, rows), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = content_disposition_header(True, shown_file_name(file_name))
    return answer


def csv_cell(value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case Decimal():
            return format(value, "f")
        case int() | float():
            return str(value)
        case datetime():
            return _local(value).isoformat(sep=" ", timespec="seconds")
        case date():
            return value.isoformat()
    return guarded(str(value))


def write_xlsx(
    target: BinaryIO, header: Sequence[str], rows: Iterable[Sequence[object]], *, title: str = "Table"
) -> None:
    """One sheet, its heading bold and kept in sight."""
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    sheet = book.create_sheet(title[:31])
    sheet.freeze_panes = "A2"
    sheet.append([_xlsx_text(sheet, name, bold=True) for name in header])
    for row in rows:
        sheet.append([_xlsx_cell(sheet, value) for value in row])
    book.save(target)


def xlsx_response(file_name: str, header: Sequence[str], rows: Iterable[Sequence[object]]) -> FileResponse:
    target = tempfile.TemporaryFile()  # noqa: SIM115 - the answer closes it when it has been sent
    write_xlsx(target, header, rows)
    target.seek(0)
    return FileResponse(target, as_attachment=True, filename=shown_file_name(file_name), content_type=XLSX)


def _xlsx_cell(sheet, value: object):
    match value:
        case None | int() | float() | Decimal() if not isinstance(value, bool):
            return value
        case datetime():
            return _local(value).replace(tzinfo=None)
        case date():
            return value
    return _xlsx_text(sheet, csv_cell(value) if isinstance(value, bool) else str(value))


def _xlsx_text(sheet, text: str, *, bold: bool = False):
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Font

    text = NOT_IN_XML.sub("\N{REPLACEMENT CHARACTER}", guarded_for_xlsx(text))
    if len(text) > LONGEST_XLSX_TEXT:
        text = text[: LONGEST_XLSX_TEXT - 1] + "…"
    cell = WriteOnlyCell(sheet, value=text)
    cell.data_type = "s"  # openpyxl has taken "=..." for a formula and "#N/A" for an error
    cell.quotePrefix = True  # and a spreadsheet would, the next time the cell is edited
    if bold:
        cell.font = Font(bold=True)
    return cell


def _local(moment: datetime) -> datetime:
    return timezone.localtime(moment) if timezone.is_aware(moment) else moment


class _Echo:
    """A file that gives back each line instead of keeping it."""

    def write(self, line: str) -> str:
        return line
