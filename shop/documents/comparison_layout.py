"""How a comparison is set out: a column for each instrument, a ruled row for each question."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.columns import Columns
from instruments.documents.dates import day_in_words
from instruments.documents.figures import DrawingFigure
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Rule, Together
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.tags import Element
from instruments.documents.text import p
from shop.documents.comparison import ComparisonPaper, Line, Said
from shop.documents.history_card_layout import cut_short
from shop.documents.letterhead import letterhead

GAP = 12
TITLE = 62
TALLEST_KEPT = 150
AFTER_COMPASS = "Compass"
NOTE = "Drawn to one scale; what was not measured, at a usual size. What is only told is printed as told."


def lay_out(paper: ComparisonPaper) -> bytes:
    named = ", ".join(paper.names)
    imprint = Imprint(
        title=f"Compared: {cut_short(named, 200)}",
        subject=f"{len(paper.names)} instruments beside one another",
        shop_name=paper.shop.name,
        number="comparison",
        dated=paper.printed_on,
        content_hash=in_fours(content_hash(paper)),
        running_head=" \u00b7 ".join(paper.names),
    )
    column = _column(len(paper.names))
    table = Element("Table")
    rows = [piece for line in paper.lines for piece in _row(line, table, column, paper)]
    return print_sheet([*_head(paper, column), *rows, *p(NOTE, styles.CAUTION)], imprint)


def _column(count: int) -> float:
    return (WIDTH - TITLE - GAP * count) / count


def _head(paper: ComparisonPaper, column: float) -> list[Flowable]:
    count = len(paper.names)
    pictures = paper.pictures or (None,) * count
    cells = [
        [
            *([DrawingFigure(drawing, column, drawing.name)] if drawing else []),
            *p(name, styles.LEAD_IN, kind="H2"),
            *p(headline, styles.CAPTION),
        ]
        for drawing, name, headline in zip(pictures, paper.names, paper.headlines, strict=True)
    ]
    return [
        *letterhead(paper.shop, day_in_words(paper.printed_on)),
        *p("Beside one another", styles.TITLE, kind="H1"),
        Columns([[], *cells], [TITLE, *[column] * count], gap=GAP, space_before=6, space_after=6),
    ]


def _row(line: Line, table: Element, column: float, paper: ComparisonPaper) -> list[Flowable]:
    count = len(line.cells)
    row = Element("TR", parent=table)
    body = Columns(
        [p(line.title, styles.DATA_STRONG), *(_cell(said, column) for said in line.cells)],
        [TITLE, *[column] * count],
        gap=GAP,
        row=row,
        cells=[Element("TH", parent=row, scope="Row"), *(Element("TD", parent=row) for _ in line.cells)],
    )
    pieces: list[Flowable] = [Rule(weight=0.4, before=3, after=3), body]
    if line.title == AFTER_COMPASS and paper.compasses:
        pieces.append(DrawingFigure(paper.compasses, WIDTH, paper.compasses.description, space_before=4))
    if pour.height_of(pieces, WIDTH) <= TALLEST_KEPT:
        return [Together(pieces, WIDTH, before=3)]
    return pieces


def _cell(said: Said, column: float) -> list[Flowable]:
    drawn = [DrawingFigure(said.drawing, column, said.drawing.name, space_after=2)] if said.drawing else []
    words = [piece for line in said.lines for piece in p(line, styles.TIGHT.data)]
    return [*drawn, *words, *p(said.basis, styles.TIGHT.basis)]
