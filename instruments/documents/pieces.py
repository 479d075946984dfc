"""The parts that papers are put together from: rules, facts, sums, clauses, places to sign."""

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

    def __init__(self, pieces: list[Flowable], width: float = WIDTH, *, before: float = 0, after: float = 0):
        super().__init__()
        self.pieces, self.width = pieces, width
        self.spaceBefore, self.spaceAfter = before, after
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
        return [head, Together(left, self.width, after=self.spaceAfter)]

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
    """Label, value and basis of each fact, so many across, as one list."""
    if not facts:
        return []
    column = (width - gap * (across - 1)) / across
    whole = Element("L")
    rows = []
    for start in range(0, len(facts), across):
        row = facts[start : start + across]
        rows.append(
            Columns(
                [_fact(fact) for fact in row],
                [column] * len(row),
                gap=gap,
                space_before=4,
                space_after=4,
                cells=[Element("LI", parent=whole) for _ in row],
            )
        )
    return rows


def _fact(fact: Fact) -> list[Flowable]:
    return [
        *p(fact.label, styles.LABEL, kind="Lbl"),
        *p(fact.value, styles.VALUE),
        *p(fact.basis, styles.BASIS),
    ]


def bulleted(
    items: list[list[Flowable]], *, width: float, numerals: list[str] | None = None
) -> list[Flowable]:
    """A list: each item a numeral or dash, and its pieces beside it."""
    whole = Element("L")
    indent = 16 if numerals else 9
    rows = []
    for position, pieces in enumerate(items):
        item = Element("LI", parent=whole)
        mark = (
            p(numerals[position], styles.NUMERAL, kind="Lbl")
            if numerals
            else p("\u2013", styles.DATA, kind="Lbl")
        )
        rows.append(
            Columns(
                [mark, pieces],
                [indent, width - indent],
                gap=0,
                space_after=1.5,
                row=item,
                cells=[None, Element("LBody", parent=item)],
            )
        )
    return rows


def numbered_clauses(clauses: tuple[Clause, ...], *, width: float = WIDTH) -> list[Flowable]:
    items = [[*p(clause.heading, styles.CLAUSE_HEADING), *p(clause.text, styles.TERMS)] for clause in clauses]
    numerals = [str(number) for number in range(1, len(clauses) + 1)]
    return bulleted(items, width=width, numerals=numerals)


def money_column(
    lines: tuple[MoneyLine, ...], *, width: float = WIDTH, amount_width: float = 80
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
    widths = [width * 0.34, width * 0.20, width * 0.46 - 16]
    rows: list[Flowable] = [
        _table_row(table, [p(word, styles.LABEL) for word in ("Part", "Found", "Note")], widths, kind="TH")
    ]
    for line in lines:
        cells = [p(line.part, styles.DATA), p(line.grade, styles.DATA), p(line.note, styles.DATA)]
        rows += [Rule(width, weight=0.35, before=0.5, after=0.5), _table_row(table, cells, widths)]
    return rows


def _table_row(table: Element, cells: list[list[Flowable]], widths: list[float], kind: str = "TD") -> Columns:
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


class SignatureLines(Flowable):
    """A line to write on for each of: signature, name, date. One party to a column."""

    ROWS = ("Signature", "Name in capitals", "Date")
    ROW_HEIGHT = 27

    def __init__(self, width: float):
        super().__init__()
        self.width = width
        self.words = [p(word, styles.LABEL) for word in self.ROWS]

    def wrap(self, width, height):
        return self.width, self.ROW_HEIGHT * len(self.ROWS)

    def draw(self):
        for position, words in enumerate(self.words, start=1):
            line = self.ROW_HEIGHT * (len(self.ROWS) - position) + 10
            with self.canv.artifact():
                self.canv.setStrokeColor(styles.INK)
                self.canv.setLineWidth(0.5)
                self.canv.line(0, line, self.width, line)
            placed, _ = pour.fill(words, self.width, pour.ENDLESS)
            pour.draw(placed, self.canv, 0, line - 1)
