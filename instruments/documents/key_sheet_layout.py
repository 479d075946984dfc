"""How the key sheet is set out."""

from collections.abc import Iterable, Sequence

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.dates import day_in_words
from instruments.documents.figures import DrawingFigure
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.key_sheet import KeySheet, KeySheetGroup, KeySheetLine
from instruments.documents.pieces import Rule, TickBox, Together, WritingLines, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.tags import Element
from instruments.documents.text import p

GAP = 8
COLUMNS = (("Key", 74), ("Fault", 112), ("Note", 193), ("Done", 40), ("Looked at again", 42))
BY_FAULT = (("Fault", 112), ("Each key: done, looked at again", WIDTH - 112 - GAP))
KEYS_ACROSS = 5
KEY_GAP = 12
BOX_GAP = 3
EMPTY_LINES = 6
EMPTY_LINES_BY_FAULT = 3
HOW_TO_USE = (
    "Tick what is done, and each key again once it has been looked at. Then enter both in the record."
)
BY_FAULT_TOO = "Of the two boxes at a key the first is for the work, the second for the second look."


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
    how = f"{HOW_TO_USE} {BY_FAULT_TOO}" if sheet.groups else HOW_TO_USE
    said = [*heading(sheet.said), *p(how, styles.CAUTION)]
    empty = KeySheetLine("", "")
    if not sheet.groups:
        return _begun(said, _by_key([*sheet.lines, *[empty] * EMPTY_LINES]))
    more = _begun(heading("More that is found"), _by_key([empty] * EMPTY_LINES_BY_FAULT), before=10)
    return [*_begun(said, _by_fault(sheet.groups)), *more]


def _begun(said: list[Flowable], rows: list[Flowable], *, before: float = 0) -> list[Flowable]:
    """The words stay with the head of the table, its first rule and its first row."""
    return [Together([*said, *rows[:3]], before=before), *rows[3:]]


def _by_key(lines: Iterable[KeySheetLine]) -> list[Flowable]:
    table = Element("Table")
    rows: list[Flowable] = [_head_row(table, COLUMNS)]
    for line in lines:
        cells = [p(words, styles.DATA) for words in (line.key, line.fault, line.note)]
        rows += [_rule(), _row(table, COLUMNS, [*cells, [TickBox()], [TickBox()]])]
    return rows


def _by_fault(groups: Iterable[KeySheetGroup]) -> list[Flowable]:
    table = Element("Table")
    rows: list[Flowable] = [_head_row(table, BY_FAULT)]
    for group in groups:
        words = [*p(group.fault, styles.DATA_STRONG), *p(group.note, styles.BASIS)]
        rows += [_rule(), _row(table, BY_FAULT, [words, _keys(group.keys)])]
    return rows


def _keys(keys: tuple[str, ...]) -> list[Flowable]:
    """So many across, each with its two boxes."""
    (_, across) = BY_FAULT[1]
    wide = (across - KEY_GAP * (KEYS_ACROSS - 1)) / KEYS_ACROSS
    widths = [wide - 2 * (TickBox.SIDE + BOX_GAP), TickBox.SIDE, TickBox.SIDE]
    lines = [keys[start : start + KEYS_ACROSS] for start in range(0, len(keys), KEYS_ACROSS)]
    return [
        Columns(
            [[Columns([p(key, styles.DATA), [TickBox()], [TickBox()]], widths, gap=BOX_GAP)] for key in line],
            [wide] * len(line),
            gap=KEY_GAP,
            space_after=3,
            whole=True,
        )
        for line in lines
    ]


def _rule() -> Rule:
    return Rule(WIDTH, weight=0.35, before=1.5, after=2.5)


def _head_row(table: Element, columns: Sequence[tuple[str, float]]) -> Columns:
    return _row(table, columns, [p(name, styles.LABEL) for name, _ in columns], kind="TH")


def _row(
    table: Element,
    columns: Sequence[tuple[str, float]],
    cells: list[list[Flowable]],
    *,
    kind: str = "TD",
) -> Columns:
    row = Element("TR", parent=table)
    scope = "Column" if kind == "TH" else ""
    return Columns(
        cells,
        [width for _, width in columns],
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
