"""How a condition sheet is set out: what it is, every part, the photographs small, two places to sign."""

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.columns import Columns
from instruments.documents.content import Fact
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.gallery import gallery
from instruments.documents.pieces import (
    Gap,
    Rule,
    Together,
    WritingLines,
    facts_grid,
    heading,
)
from instruments.documents.sheet import FIRST_PAGE_HEIGHT, WIDTH, Imprint, print_sheet
from instruments.documents.tags import Element
from instruments.documents.text import p
from shop.documents.condition_sheet import Cell, ConditionSheet, PartRow, Signer, Walked
from shop.documents.letterhead import letterhead

GAP = 22
HALF = (WIDTH - GAP) / 2
HEAD_GAP = 14
CELL_GAP = 6
HALF_WIDTHS = [HALF * 0.3, HALF * 0.23, HALF * 0.47 - 2 * CELL_GAP]
PAIR_WIDTHS = [WIDTH * 0.17, WIDTH * 0.31, WIDTH * 0.31, WIDTH * 0.21 - 3 * CELL_GAP]
# Height of photographs and how tightly the rest is set, largest first.
TALLEST_PHOTO = 42 * mm
SETTINGS = ((30 * mm, styles.LOOSE), (24 * mm, styles.TIGHT), (18 * mm, styles.TIGHT))
TO_SIGN = ("Signature", "Name in capitals, and the day")
STILL_OPEN = "not closed yet"
BOTH_AGREE = (
    "We have looked at the instrument together and found it as written here. “Not looked at” and"
    " “Not examined” mean that nothing is said of that part, neither good nor bad."
)


def lay_out(sheet: ConditionSheet) -> bytes:
    title = " and ".join(walk.occasion.lower() for walk in sheet.walks)
    name = f"Condition of {sheet.maker}, stock {sheet.stock_number}"
    imprint = Imprint(
        title=name,
        subject=f"{sheet.sentence} {title}",
        shop_name=sheet.shop.name,
        number=f"Stock {sheet.stock_number}",
        dated=sheet.printed_on,
        content_hash=in_fours(content_hash(sheet)),
        running_head=f"{name}: {title}, continued",
    )
    return print_sheet(_set_out(sheet), imprint)


def _set_out(sheet: ConditionSheet) -> list[Flowable]:
    """On one page where that can be; else the photographs turn the page, larger, with the signatures."""
    for photo_height, setting in SETTINGS:
        pieces = [*_front(sheet, setting), *_back(sheet, photo_height, setting)]
        if pour.height_of(pieces, WIDTH) <= FIRST_PAGE_HEIGHT:
            return pieces
    fronts = [_front(sheet, setting) for setting in (styles.LOOSE, styles.TIGHT)]
    fitting = [front for front in fronts if pour.height_of(front, WIDTH) <= FIRST_PAGE_HEIGHT]
    front, turn = (fitting[0], [pour.NewPage()]) if fitting else (fronts[-1], [])
    return [*front, *turn, *_back(sheet, TALLEST_PHOTO, styles.LOOSE)]


def _front(sheet: ConditionSheet, setting: styles.Setting) -> list[Flowable]:
    table = (_pair_table if len(sheet.walks) == 2 else _two_halves)(sheet, setting)
    return [*_head(sheet), *heading("Part by part", setting), *table]


def _back(sheet: ConditionSheet, photo_height: float, setting: styles.Setting) -> list[Flowable]:
    return [*_photos(sheet, photo_height, setting), *_signing(sheet)]


def _head(sheet: ConditionSheet) -> list[Flowable]:
    occasions = " and ".join(walk.occasion.lower() for walk in sheet.walks)
    reference = f"Condition sheet\nStock number {sheet.stock_number}\n{day_in_words(sheet.printed_on)}"
    walks = tuple(_walked(walk) for walk in sheet.walks)
    return [
        *letterhead(sheet.shop, reference),
        *p(f"Condition {occasions}", styles.TITLE, kind="H1"),
        *p(sheet.sentence, styles.SENTENCE),
        Rule(colour=styles.INK, before=6, after=4),
        *facts_grid(sheet.facts),
        Rule(before=3, after=3),
        *facts_grid(walks, across=2, gap=HEAD_GAP),
        *_notes(sheet.walks),
    ]


def _notes(walks: tuple[Walked, ...]) -> list[Flowable]:
    """What each report says of the whole, under its own heading."""
    notes = [p(walk.note, styles.CAUTION) for walk in walks]
    if len(notes) == 1 or not any(notes):
        return [piece for note in notes for piece in note]
    column = (WIDTH - HEAD_GAP) / 2
    return [Columns(notes, [column] * 2, gap=HEAD_GAP)]


def _walked(walk: Walked) -> Fact:
    climate = walk.climate or "climate not written down"
    basis = ", ".join(filter(None, [climate, f"by {walk.by}" if walk.by else ""]))
    state = f", {STILL_OPEN}" if walk.is_open else ""
    return Fact(walk.occasion, f"{day_in_words(walk.looked_on)}{state}", basis)


def _two_halves(sheet: ConditionSheet, setting: styles.Setting) -> list[Flowable]:
    """Part, grade, note: half of the parts on the left, the other half beside it."""
    middle = (len(sheet.rows) + 1) // 2
    halves = [
        _table(("Part", "Found", "Note"), [_single(row, setting) for row in rows], HALF_WIDTHS)
        for rows in (sheet.rows[:middle], sheet.rows[middle:])
    ]
    return [Columns(halves, [HALF, HALF], gap=GAP)]


def _single(row: PartRow, setting: styles.Setting) -> list[list[Flowable]]:
    (cell,) = row.cells
    return [p(row.part, setting.data), p(cell.grade, setting.data), p(_upper_first(cell.note), setting.data)]


def _pair_table(sheet: ConditionSheet, setting: styles.Setting) -> list[Flowable]:
    """Part, then what each report says of it, then how they differ; the changed ones stand first."""
    heads = ("Part", *(walk.occasion for walk in sheet.walks), "Difference")
    return _table(heads, [_double(row, setting) for row in sheet.rows], PAIR_WIDTHS)


def _double(row: PartRow, setting: styles.Setting) -> list[list[Flowable]]:
    style = styles.DATA_STRONG if row.differs else setting.data
    cells = [p(_cell_words(cell), setting.data) for cell in row.cells]
    return [p(row.part, style), *cells, p(row.differs, style)]


def _cell_words(cell: Cell) -> str:
    return f"{cell.grade}. {_upper_first(cell.note)}" if cell.note else cell.grade


def _table(heads: tuple[str, ...], rows: list[list[list[Flowable]]], widths: list[float]) -> list[Flowable]:
    table = Element("Table")
    pieces: list[Flowable] = [_row(table, [p(word, styles.LABEL) for word in heads], widths, kind="TH")]
    across = sum(widths) + CELL_GAP * (len(widths) - 1)
    for cells in rows:
        pieces += [Rule(across, weight=0.35, before=0.5, after=0.5), _row(table, cells, widths)]
    return pieces


def _row(table: Element, cells: list[list[Flowable]], widths: list[float], kind: str = "TD") -> Columns:
    row = Element("TR", parent=table)
    scope = "Column" if kind == "TH" else ""
    return Columns(
        cells,
        widths,
        gap=CELL_GAP,
        row=row,
        cells=[Element(kind, parent=row, scope=scope) for _ in cells],
        keep_with_next=kind == "TH",
        whole=True,
    )


def _upper_first(words: str) -> str:
    return words[:1].upper() + words[1:]


def _photos(sheet: ConditionSheet, height: float, setting: styles.Setting) -> list[Flowable]:
    if not sheet.photos:
        return []
    left = sheet.photos_left_out
    more = f"{left} further photograph{'s' if left > 1 else ''} on file." if left else ""
    pictures = gallery(sheet.photos, width=WIDTH, group=False, tallest_row=height)
    return [*heading("Photographs", setting), *pictures, *p(more, styles.SMALL)]


def _signing(sheet: ConditionSheet) -> list[Flowable]:
    columns = [
        [*p(signer.role, styles.LABEL), *_named(signer), WritingLines(TO_SIGN, HALF)]
        for signer in sheet.signers
    ]
    block = [
        Rule(before=0, after=5),
        *p(BOTH_AGREE, styles.CAUTION),
        Columns(columns, [HALF, HALF], gap=GAP, space_before=6),
        Gap(5),
    ]
    return [Together(block, before=10, at_foot=True)]


def _named(signer: Signer) -> list[Flowable]:
    return p(signer.name, styles.LEAD_IN) or [Gap(styles.LEAD_IN.leading)]
