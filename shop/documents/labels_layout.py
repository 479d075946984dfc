"""How labels are set out: the code on the left with its white around it, number, maker and serial beside it.

Words and codes keep 4 mm from the label's own edge; with the margins of the sheets nothing is printed within
5 mm of the paper's, where common printers cannot reach.
"""

from functools import lru_cache
from io import BytesIO

from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import fonts, pour, styles
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.label_sheets import SHEETS, LabelSheet, placed
from instruments.documents.qr import WHOLE_QUIET, QrFigure
from instruments.documents.sheet import Imprint, describe
from instruments.documents.tags import Element, TaggedCanvas
from instruments.documents.text import p
from shop.documents.history_card_layout import cut_short
from shop.documents.labels import Label, LabelPaper

INSET = 4 * mm
CODE_SHARE = 0.46  # of the width, so that a name has room beside it
NARROWEST_MODULE = 0.33 * mm  # a narrower square is lost in the printer's dots
MEASURES = (2.2, 1.9, 1.6, 1.4, 1.2, 1.0, 0.9, 0.8, 0.7, 0.6, 0.5)
LONGEST_NAME, LONGEST_LINE = 60, 48
# face, size, leading and colour at full measure
NUMBER = (fonts.SANS_STRONG, 15, 17, styles.INK)
MAKER = (fonts.SERIF, 12.5, 14, styles.INK)
LINE = (fonts.SANS, 8.4, 10.2, styles.INK)
SHOP = (fonts.SANS, 7, 9, styles.SOFT_INK)


@lru_cache(maxsize=64)
def _style(kind: tuple, measure: float) -> ParagraphStyle:
    face, size, leading, colour = kind
    return ParagraphStyle(
        f"label {face} {size} {measure}",
        fontName=face,
        bulletFontName=face,
        fontSize=size * measure,
        leading=leading * measure,
        textColor=colour,
        splitLongWords=1,
    )


def lay_out(paper: LabelPaper) -> bytes:
    sheet = SHEETS[paper.sheet]
    places = placed(len(paper.labels), sheet=sheet, first=paper.first)
    stream = BytesIO()
    canvas = TaggedCanvas(stream)
    describe(canvas, _imprint(paper))
    whole, on = Element("L"), 0
    for label, (page, place) in zip(paper.labels, places, strict=True):
        if page != on:
            canvas.showPage()
            on = page
        left, top = (each * mm for each in sheet.corner_mm(place))
        corner = left + paper.right_mm * mm, A4[1] - top - paper.down_mm * mm
        with canvas.inside(Element("LI", parent=whole)):
            _draw(canvas, label, paper.shop_name, sheet, *corner)
    canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _imprint(paper: LabelPaper) -> Imprint:
    count = len(paper.labels)
    which = f"stock {paper.labels[0].stock_number}" if count == 1 else f"{count} instruments"
    return Imprint(
        title=f"Labels for {which}",
        subject=SHEETS[paper.sheet].words,
        shop_name=paper.shop_name,
        number="labels",
        dated=paper.printed_on,
        content_hash=in_fours(content_hash(paper)),
        running_head="",
    )


def _draw(canvas, label: Label, shop: str, sheet: LabelSheet, left: float, top: float) -> None:
    wide, tall = sheet.wide_mm * mm - 2 * INSET, sheet.tall_mm * mm - 2 * INSET
    code = _code(label.address, min(tall, wide * CODE_SHARE))
    # The white around the code reaches into the label's own: its dark edge is where words would begin.
    white = code.quiet * code.module if code else 0
    taken = code.width - white if code else 0
    if code:
        code.drawOn(canvas, left + INSET - white, top - INSET - (tall + code.height) / 2)
    lines = next(_fitting(label, shop, wide - taken, tall))
    above, _ = pour.fill(lines, wide - taken, tall, force=True)
    high = above[-1].top + above[-1].height
    pour.draw(above, canvas, left + INSET + taken, top - INSET - max(0, (tall - high) / 2))


def _fitting(label: Label, shop: str, wide: float, tall: float):
    """The words in the largest measure that the label can hold without breaking number or name in a word."""
    words = [(label.stock_number, NUMBER), *((word, MAKER) for word in label.maker.split())]
    for measure in MEASURES:
        lines = _lines(label, shop, measure)
        longest = max(fonts.width_of(word, kind[0], kind[1] * measure) for word, kind in words)
        if longest <= wide and pour.height_of(lines, wide) <= tall:
            yield lines
    yield lines


def _lines(label: Label, shop: str, measure: float) -> list[Flowable]:
    serial = f"Serial {label.serial}" if label.serial else "No serial recorded"
    return [
        *p(cut_short(label.stock_number, LONGEST_LINE), _style(NUMBER, measure)),
        *p(cut_short(label.maker, LONGEST_NAME), _style(MAKER, measure)),
        *p(cut_short(serial, LONGEST_LINE), _style(LINE, measure)),
        *p(cut_short(shop, LONGEST_LINE), _style(SHOP, measure)),
    ]


def _code(address: str, size: float) -> QrFigure | None:
    """None for an address so long that its squares could not be printed apart; the words stand alone then."""
    try:
        code = QrFigure(address, size, f"QR code for {address[:200]}", quiet=WHOLE_QUIET)
    except ValueError:
        return None
    return code if code.module >= NARROWEST_MODULE else None
