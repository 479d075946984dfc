"""How the worksheet is set out."""

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Rule, TickBox, Together, WritingLines, heading
from instruments.documents.qr import QrFigure
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from workorders.documents.worksheet import Worksheet, WorksheetItem, WorksheetOrder

GAP = 10
CODE = 19 * mm
WRITE = 116
WORDS = WIDTH - TickBox.SIDE - WRITE - CODE - 3 * GAP
HOW_TO_USE = (
    "Tick what is done and write down what it took; then enter it in the record, which decides. "
    "The code beside each item opens it."
)
LOCAL_RULES = "Local rules and licensed practice come first."


def lay_out(sheet: Worksheet) -> bytes:
    imprint = Imprint(
        title=sheet.title,
        subject=sheet.said,
        shop_name="",
        number=sheet.number,
        dated=sheet.printed_on,
        content_hash=in_fours(content_hash(sheet)),
        running_head=f"{sheet.title}, continued",
    )
    pieces = _head(sheet)
    for order in sheet.orders:
        pieces += _order(order)
    return print_sheet([*pieces, *_closing()], imprint)


def _head(sheet: Worksheet) -> list[Flowable]:
    title = [*p(sheet.title, styles.TITLE, kind="H1"), *p(sheet.said, styles.SENTENCE)]
    return [
        Columns([title, p(day_in_words(sheet.printed_on), styles.LETTERHEAD_RIGHT)], [WIDTH - 132, 120]),
        Rule(weight=0.7, colour=styles.INK, before=5, after=6),
        *p(HOW_TO_USE, styles.CAUTION),
    ]


def _order(order: WorksheetOrder) -> list[Flowable]:
    words = [
        *heading(f"{order.instrument}, stock {order.stock_number}"),
        *p(f"{order.title}, {order.number}", styles.DATA_STRONG),
        *p(order.told, styles.DATA),
        *p(order.note, styles.DATA),
    ]
    code = [QrFigure(order.address, CODE, f"Code that opens the work order {order.number}")]
    head = Columns([words, code], [WIDTH - CODE - GAP, CODE], gap=GAP, whole=True)
    items = [_item(item) for item in order.items]
    if not items:
        return [Together([head, *p("Nothing in it is open.", styles.DATA)], before=8)]
    return [Together([head, items[0]], before=8), *items[1:]]


def _item(item: WorksheetItem) -> Flowable:
    words = [
        *p(f"{item.number}. {item.name}", styles.DATA_STRONG),
        *p(item.waits, styles.CAUTION),
        *p(item.told, styles.BASIS),
        *(p(f"Keys: {item.keys}", styles.DATA) if item.keys else []),
        *(p(f"Done when {item.done_when}.", styles.DATA) if item.done_when else []),
        *p(item.note, styles.DATA),
        *(p(f"Take care. {item.caution} {LOCAL_RULES}", styles.CAUTION) if item.caution else []),
    ]
    code = [QrFigure(item.address, CODE, f"Code that opens “{item.name}”")]
    row = Columns(
        [[TickBox()], words, [WritingLines(item.writes, WRITE)], code],
        [TickBox.SIDE, WORDS, WRITE, CODE],
        gap=GAP,
        whole=True,
    )
    return Together([Rule(WIDTH, weight=0.35, before=4, after=4), row])


def _closing() -> list[Flowable]:
    half = (WIDTH - 22) / 2
    signed = [
        [WritingLines(("Worked on by, and when",), half)],
        [WritingLines(("Looked at again by",), half)],
    ]
    return [Together([Columns(signed, [half, half], gap=22)], before=14)]
