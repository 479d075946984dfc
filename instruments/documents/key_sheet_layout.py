"""How the key sheet is set out."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.dates import day_in_words
from instruments.documents.figures import DrawingFigure
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.key_sheet import KeySheet, KeySheetLine
from instruments.documents.pieces import Rule, Together, WritingLines, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.tags import Element
from instruments.documents.text import p

GAP = 8
COLUMNS = (("Key", 74), ("Fault", 112), ("Note", 193), ("Done", 40), ("Looked at again", 42))
EMPTY_LINES = 6
BOX = 11
HOW_TO_USE = (
    "Tick what is done, and each key again once it has been looked at. Then enter both in the record."
)


class TickBox(Flowable):
    """An empty square to tick with a pencil."""

    def wrap(self, width, height):
        return BOX, BOX + 1

    def draw(self):
        with self.canv.artifact():
            self.canv.setStrokeColor(styles.INK)
            self.canv.setLineWidth(0.7)
            self.canv.rect(0.5, 0.5, BOX - 1, BOX - 1)


def lay_out(sheet: KeySheet) -> bytes:
    imprint = Imprint(
        title=f"Keys of {sheet.name}, stock {sheet.stock_number}",
        subject=sheet.said,
        shop_name="",
        number=f"stock {sheet.stock_number}",
        dated=sheet.printed_on,
        content_hash=in_fours(content_hash(sheet)),
        running_head=f"Keys of {sheet.name}, stock {sheet.stock_number}, continued",
    )
    return print_sheet([*_head(sheet), *_strip(sheet), *_marks(sheet), *_closing()], imprint)


def _head(sheet: KeySheet) -> list[Flowable]:
    where = f"Stock number {sheet.stock_number}\n{day_in_words(sheet.printed_on)}"
    title = [*p(f"Keys of {sheet.name}", styles.TITLE, kind="H1"), *p(sheet.compass, styles.SENTENCE)]
    return [
        Columns([title, p(where, styles.LETTERHEAD_RIGHT)], [WIDTH - 132, 120]),
        Rule(weight=0.7, colour=styles.INK, before=5, after=9),
    ]


def _strip(sheet: KeySheet) -> list[Flowable]:
    return [DrawingFigure(sheet.strip, WIDTH, f"Drawing of the keyboard. {sheet.strip.description}")]


def _marks(sheet: KeySheet) -> list[Flowable]:
    table = Element("Table")
    empty = [KeySheetLine("", "")] * EMPTY_LINES
    rows: list[Flowable] = [_row(table, [p(name, styles.LABEL) for name, _ in COLUMNS], kind="TH")]
    for line in [*sheet.lines, *empty]:
        cells = [p(words, styles.DATA) for words in (line.key, line.fault, line.note)]
        rows += [_rule(), _row(table, [*cells, [TickBox()], [TickBox()]])]
    said = [*heading(sheet.said), *p(HOW_TO_USE, styles.CAUTION)]
    return [Together([*said, *rows[:3]]), *rows[3:]]


def _rule() -> Rule:
    return Rule(WIDTH, weight=0.35, before=1.5, after=2.5)


def _row(table: Element, cells: list[list[Flowable]], *, kind: str = "TD") -> Columns:
    row = Element("TR", parent=table)
    scope = "Column" if kind == "TH" else ""
    return Columns(
        cells,
        [width for _, width in COLUMNS],
        gap=GAP,
        row=row,
        cells=[Element(kind, parent=row, scope=scope) for _ in cells],
        keep_with_next=kind == "TH",
        whole=True,
    )


def _closing() -> list[Flowable]:
    half = (WIDTH - 22) / 2
    signed = [
        [WritingLines(("Worked on by, and when",), half)],
        [WritingLines(("Looked at again by",), half)],
    ]
    return [Together([Columns(signed, [half, half], gap=22)], before=14)]
