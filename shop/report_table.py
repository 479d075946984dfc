"""A report as a table for a spreadsheet: money as exact numbers, its sums those of the page."""

from dataclasses import dataclass

from shop.report_ground import DAY, MONEY, PERCENT, TEXT, Report
from shop.stock_export import major
from workorders.currency import in_words


@dataclass(frozen=True)
class Cell:
    heading: str
    words: str
    is_loss: bool = False
    is_text: bool = False


@dataclass(frozen=True)
class Shown:
    cells: list[Cell]
    url: str = ""
    is_total: bool = False


def shown_rows(report: Report) -> list[Shown]:
    """The rows in words for a page, the totals last."""
    rows = [Shown(_in_words(report, row.cells), row.url) for row in report.rows]
    return [*rows, Shown(_in_words(report, report.totals), is_total=True)] if report.totals else rows


def _in_words(report: Report, cells: tuple) -> list[Cell]:
    pairs = zip(report.columns, cells, strict=True)
    return [
        Cell(heading, _words(kind, cell), kind == MONEY and (cell or 0) < 0, kind == TEXT)
        for (heading, kind), cell in pairs
    ]


def _words(kind: str, cell) -> str:
    if cell is None:
        return "–"
    if kind == MONEY:
        return in_words(cell)
    if kind == DAY:
        return f"{cell:%-d %B %Y}"
    return f"{cell} %" if kind == PERCENT else str(cell)


def report_table(report: Report) -> tuple[list[str], list[list]]:
    """Headings and rows, the totals last."""
    rows = [row.cells for row in report.rows]
    if report.totals:
        rows.append(report.totals)
    return [heading for heading, _ in report.columns], [_plain(report, cells) for cells in rows]


def _plain(report: Report, cells: tuple) -> list:
    pairs = zip(report.columns, cells, strict=True)
    return [major(cell) if kind == MONEY else cell for (_, kind), cell in pairs]
