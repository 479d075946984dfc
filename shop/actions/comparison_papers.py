"""A comparison on paper: always in public words, whoever prints it, for it goes home with a visitor."""

from datetime import date

from shop.actions.papers import shop_party
from shop.comparing import Cell, Comparison, Piano, Row
from shop.documents.comparison import ComparisonPaper, Line, Said, build_comparison
from shop.models import ShopProfile


def comparison_paper(comparison: Comparison, *, on: date) -> bytes:
    pianos = comparison.pianos
    paper = ComparisonPaper(
        shop=shop_party(ShopProfile.current()),
        printed_on=on,
        names=tuple(each.name for each in pianos),
        headlines=tuple(each.story.headline for each in pianos),
        lines=(*(_line(row) for row in comparison.rows), _sound(pianos)),
        pictures=tuple(each.drawing for each in pianos),
        compasses=comparison.compasses,
    )
    return build_comparison(paper)


def _line(row: Row) -> Line:
    return Line(row.title, tuple(_said(piano, cell, row.title) for piano, cell in row.pairs))


def _said(piano: Piano, cell: Cell, title: str) -> Said:
    drawing = piano.touch if title == "Touch" else None
    return Said(cell.lines or (cell.missing,), cell.basis, drawing)


def _sound(pianos: list[Piano]) -> Line:
    recorded = [tuple(str(each) for each in piano.recordings) or ("Not recorded",) for piano in pianos]
    return Line("Recorded", tuple(Said(lines) for lines in recorded))
