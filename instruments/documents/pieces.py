"""The parts that papers are put together from: rules, facts, sums, clauses, places to sign."""

from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.columns import Columns
from instruments.documents.content import Clause, ConditionLine, Fact, MoneyLine
from instruments.documents.sheet import FURTHER_PAGE_HEIGHT, WIDTH
from instruments.documents.tags import Element
from instruments.documents.text import p

TALLEST_WHOLE_SECTION = 70 * mm


class Rule(Flowable):
    """A thin line across; ink for the one below a title, paler between parts."""

    def __init__(self, width: float = WIDTH, *, weight=0.5, colour=styles.LINE, before=4.0, after=4.0):
        super().__init__()
        self.width, self.weight, self.colour = width, weight, colour
        self.spaceBefore, self.spaceAfter = before, after

    def wrap(self, width, height):
        return self.width, self.weight

    def draw(self):
        with self.canv.artifact():
            self.canv.setStrokeColor(self.colour)
            self.canv.setLineWidth(self.weight)
            self.canv.line(0, 0, self.width, 0)


class Gap(Flowable):
    """Empty height, where space between pieces does not do, as at the top of a column."""

    def __init__(self, height: float):
        super().__init__()
        self.height = height

    def wrap(self, width, height):
        return 0, self.height

    def draw(self):
        """Leaves the paper as it is."""


class Together(Flowable):
    """Kept whole where a page can hold it; flows on like anything else where none can."""

    def __init__(
        self,
        pieces: list[Flowable],
        width: float = WIDTH,
        *,
        before: float = 0,
        after: float = 0,
        at_foot: bool = False,
    ):
        super().__init__()
        self.pieces, self.width = pieces, width
        self.spaceBefore, self.spaceAfter = before, after
        self.at_foot = at_foot  # of the page, if it is the last piece on it
        self._placed: list[pour.Placed] = []

    def wrap(self, width, height):
        if not self._placed:
            self._placed, _ = pour.fill(self.pieces, self.width, pour.ENDLESS)
            self.height = pour.height_of(self.pieces, self.width)
        return self.width, self.height

    def split(self, width, height):
        if self.height <= FURTHER_PAGE_HEIGHT:
            return []
        placed, left = pour.fill(self.pieces, self.width, height)
        if not placed or not left:
            return []
        head = Together([each.piece for each in placed], self.width, before=self.spaceBefore)
        return [head, Together(left, self.width, after=self.spaceAfter, at_foot=self.at_foot)]

    def draw(self):
        pour.draw(self._placed, self.canv, 0, self.height)


def heading(words: str, setting: styles.Setting = styles.LOOSE) -> list[Flowable]:
    return p(words, setting.heading, kind="H2")


def section(title: str, pieces: list[Flowable], *, width: float, setting: styles.Setting) -> list[Flowable]:
    """A heading and what stands below it, whole where it is short; nothing at all where that is empty."""
    if not pieces:
        return []
    whole = [*heading(title, setting), *pieces]
    if pour.height_of(whole, width) > TALLEST_WHOLE_SECTION:
        return whole
    return [Together(whole, width, before=setting.heading.spaceBefore)]


def facts_grid(
    facts: tuple[Fact, ...], *, width: float = WIDTH, across: int = 4, gap: float = 14
) -> list[Flowable]:
    """Label, value and basis of each fact, so many across, as one list; one more where one would be left."""
    if not facts:
        return []
    across += across >= 4 and len(facts) > across and len(facts) % across == 1
    column = (width - gap * (across - 1)) / across
    whole = Element("L")
    rows = []
    for start in range(0, len(facts), across):
        items = [(Element("LI", parent=whole), fact) for fact in facts[start : start + across]]
        rows.append(
            Columns(
                [_fact(item, fact) for item, fact in items],
                [column] * len(items),
                gap=gap,
                space_before=4,
                space_after=4,
                cells=[item for item, _ in items],
                whole=True,
            )
        )
    return rows


def _fact(item: Element, fact: Fact) -> list[Flowable]:
    body = Element("LBody", parent=item)
    told = [*p(fact.value, styles.VALUE), *p(fact.basis, styles.BASIS)]
    for piece in told:
        piece.element.parent = body
    return [*p(fact.label, styles.LABEL, kind="Lbl"), *told]


def bulleted(items: list[list[Flowable]], *, width: float) -> list[Flowable]:
    """A list: a dash, and the pieces of each item beside it."""
    return _list([(p("\u2013", styles.DATA, kind="Lbl"), pieces) for pieces in items], width, indent=9)


def _list(
    items: list[tuple[list[Flowable], list[Flowable]]], width: float, *, indent: float
) -> list[Flowable]:
    whole = Element("L")
    rows = []
    for mark, pieces in items:
        item = Element("LI", parent=whole)
        rows.append(
            Columns(
                [mark, pieces],
                [indent, width - indent],
                gap=0,
                space_after=1.5,
                row=item,
                cells=[None, Element("LBody", parent=item)],
                whole=True,
            )
        )
    return rows


def numbered_clauses(
    clauses: tuple[Clause, ...],
    *,
    width: float = WIDTH,
    setting: tuple[ParagraphStyle, ParagraphStyle] = (styles.CLAUSE_HEADING, styles.TERMS),
) -> list[Flowable]:
    """1, 2, 3 ... each with its heading and text, set in the two styles given."""
    heading_style, text_style = setting
    items = [
        (
            p(str(number), heading_style, kind="Lbl"),
            [*p(clause.heading, heading_style), *p(clause.text, text_style)],
        )
        for number, clause in enumerate(clauses, start=1)
    ]
    return _list(items, width, indent=16)


def money_column(
    lines: tuple[MoneyLine, ...], *, width: float = WIDTH, amount_width: float = 66
) -> list[Flowable]:
    """Words on the left, amounts right-aligned in figures of one width; sums stand below a rule."""
    table = Element("Table")
    pieces: list[Flowable] = []
    for line in lines:
        row = Element("TR", parent=table)
        label_style, amount_style = (
            (styles.DATA_STRONG, styles.AMOUNT_STRONG) if line.strong else (styles.DATA, styles.AMOUNT)
        )
        if line.strong:
            pieces.append(Rule(width, before=1.5, after=1.5))
        pieces.append(
            Columns(
                [[*p(line.label, label_style), *p(line.note, styles.BASIS)], p(line.amount, amount_style)],
                [width - amount_width, amount_width],
                gap=0,
                space_after=1,
                row=row,
                cells=[Element("TH", parent=row, scope="Row"), Element("TD", parent=row)],
            )
        )
    return pieces


def condition_table(lines: tuple[ConditionLine, ...], *, width: float = WIDTH) -> list[Flowable]:
    """Part, grade, note: one row each, parted by pale rules."""
    if not lines:
        return []
    table = Element("Table")
    widths = [width * 0.33, width * 0.15, width * 0.52 - 16]
    rows: list[Flowable] = [
        table_row(table, [p(word, styles.LABEL) for word in ("Part", "Found", "Note")], widths, kind="TH")
    ]
    for line in lines:
        cells = [p(line.part, styles.DATA), p(line.grade, styles.DATA), p(line.note, styles.DATA)]
        rows += [Rule(width, weight=0.35, before=0.5, after=0.5), table_row(table, cells, widths)]
    return rows


def table_row(table: Element, cells: list[list[Flowable]], widths: list[float], kind: str = "TD") -> Columns:
    row = Element("TR", parent=table)
    scope = "Column" if kind == "TH" else ""
    return Columns(
        cells,
        widths,
        gap=8,
        row=row,
        cells=[Element(kind, parent=row, scope=scope) for _ in cells],
        keep_with_next=kind == "TH",
    )


class TickBox(Flowable):
    """An empty square to tick with a pencil."""

    SIDE = 11

    def wrap(self, width, height):
        return self.SIDE, self.SIDE + 1

    def draw(self):
        with self.canv.artifact():
            self.canv.setStrokeColor(styles.INK)
            self.canv.setLineWidth(0.7)
            self.canv.rect(0.5, 0.5, self.SIDE - 1, self.SIDE - 1)


class WritingLine(Flowable):
    """A line to write a figure on, as wide as its column lets it be."""

    HEIGHT = 15

    def wrap(self, width, height):
        self.width = width
        return width, self.HEIGHT

    def draw(self):
        with self.canv.artifact():
            self.canv.setStrokeColor(styles.INK)
            self.canv.setLineWidth(0.5)
            self.canv.line(0, 1, self.width, 1)


class WritingLines(Flowable):
    """A line to write on for each of the words, which stand small below it."""

    ROW_HEIGHT = 27

    def __init__(self, words: tuple[str, ...], width: float):
        super().__init__()
        self.width = width
        self.words = [p(word, styles.LABEL) for word in words]

    def wrap(self, width, height):
        return self.width, self.ROW_HEIGHT * len(self.words)

    def draw(self):
        for position, words in enumerate(self.words, start=1):
            line = self.ROW_HEIGHT * (len(self.words) - position) + 10
            with self.canv.artifact():
                self.canv.setStrokeColor(styles.INK)
                self.canv.setLineWidth(0.5)
                self.canv.line(0, line, self.width, line)
            placed, _ = pour.fill(words, self.width, pour.ENDLESS)
            pour.draw(placed, self.canv, 0, line - 1)
