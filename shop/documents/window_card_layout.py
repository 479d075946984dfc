"""How the window card is set out: A5 standing, to be read through a pane from two metres.

A letter can be read where it fills five minutes of arc (Snellen), which is 2.9 mm at two metres. So at full
size the small letters of every line for the passer-by are at least so tall: Source Sans from 17 pt (its
x-height is 0.486 of the size), EB Garamond from 20.6 pt (0.400). Few words are set larger, many smaller, all
in one measure; name and kind are brought to one line where that leaves them readable. Nothing is printed
within 11 mm of the edge; common printers leave about 5 mm bare.
"""

from functools import lru_cache
from io import BytesIO

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A5
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import fonts, pour, styles
from instruments.documents.columns import Columns
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Gap, Rule
from instruments.documents.qr import WHOLE_QUIET, QrFigure
from instruments.documents.sheet import Imprint, describe
from instruments.documents.tags import Element, TaggedCanvas
from instruments.documents.text import p, printable
from shop.documents.history_card_layout import cut_short
from shop.documents.window_card import WindowCard

PAGE_WIDTH, PAGE_HEIGHT = A5
MARGIN = 11 * mm
WIDTH, HEIGHT = PAGE_WIDTH - 2 * MARGIN, PAGE_HEIGHT - 2 * MARGIN
QR_SIZE = 36 * mm
QR_GAP = 10
MEASURES = (1.2, 1.14, 1.07, 1.0, 0.94, 0.88, 0.82, 0.76, 0.7, 0.62, 0.54, 0.46, 0.38, 0.3)
# name: face, size and leading at full measure
SIZES = {
    "maker": (fonts.SERIF, 50, 55),
    "what": (fonts.SERIF_ITALIC, 24, 28),
    "made": (fonts.SANS_STRONG, 26, 31),
    "basis": (fonts.SANS, 17.5, 22),
    "fact": (fonts.SANS, 18, 22.5),
    "price": (fonts.SERIF, 54, 56),
    "shop": (fonts.SERIF_MEDIUM, 22, 25),
    "telephone": (fonts.SANS, 19, 24),
}
LEAST_SERIF = 20.6
LOOK_HERE = "The square opens its page, with its faults and what we do not know."
ASK = "Its faults, and what we do not know of it: ask us."


@lru_cache(maxsize=512)
def _style(name: str, measure: float) -> ParagraphStyle:
    face, size, leading = SIZES[name]
    return ParagraphStyle(
        f"card {name}",
        fontName=face,
        bulletFontName=face,
        fontSize=size * measure,
        leading=leading * measure,
        textColor=styles.SOFT_INK if name in {"basis", "what"} else styles.INK,
        splitLongWords=1,
    )


def _on_one_line(words: str, name: str, measure: float, least: float) -> ParagraphStyle:
    """The style, smaller where that brings the words onto one line; `least`: the smallest size allowed."""
    style = _style(name, measure)
    wide = fonts.width_of(printable(words, style.fontName), style.fontName, style.fontSize)
    share = WIDTH / wide if wide else 1
    if share >= 1 or style.fontSize * share < least:
        return style
    return _style(name, measure * share * 0.995)


FOOT = ParagraphStyle("card foot", parent=styles.BASIS, alignment=TA_RIGHT)


def lay_out(card: WindowCard) -> bytes:
    stream = BytesIO()
    canvas = TaggedCanvas(stream, pagesize=A5)
    describe(canvas, _imprint(card))
    above, below = next(_fitting(card))
    tall = pour.height_of(below, WIDTH)
    placed, _ = pour.fill(above, WIDTH, HEIGHT, force=True)
    pour.draw(placed, canvas, MARGIN, PAGE_HEIGHT - MARGIN)
    placed, _ = pour.fill(below, WIDTH, pour.ENDLESS)
    pour.draw(placed, canvas, MARGIN, MARGIN + tall)
    canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _imprint(card: WindowCard) -> Imprint:
    return Imprint(
        title=f"{card.maker}, stock {card.stock_number}: card for the window",
        subject=card.what or "An instrument for sale",
        shop_name=card.shop_name,
        number=f"stock {card.stock_number}",
        dated=card.printed_on,
        content_hash=in_fours(content_hash(card)),
        running_head="",
    )


def _fitting(card: WindowCard):
    """What stands at the head and what at the foot, in the largest measure that the page can hold."""
    for measure in MEASURES:
        above, below = _above(card, measure), _below(card, measure)
        if pour.height_of(above, WIDTH) + pour.height_of(below, WIDTH) + 6 <= HEIGHT:
            yield above, below
    yield above, below


def _above(card: WindowCard, measure: float) -> list[Flowable]:
    maker = _on_one_line(card.maker, "maker", measure, 34)
    what = _on_one_line(card.what, "what", measure, LEAST_SERIF)
    made = [*p(card.made, _style("made", measure)), *p(card.made_basis, _style("basis", measure))]
    facts = [pieces for fact in card.facts if (pieces := p(fact, _style("fact", measure)))]
    return [
        *p(card.maker, maker, kind="H1"),
        *p(card.what, what),
        Rule(WIDTH, weight=0.9, colour=styles.INK, before=8 * measure, after=8 * measure),
        *made,
        Gap(10 * measure),
        *_list(facts, gap=5 * measure),
    ]


def _list(facts: list[list[Flowable]], *, gap: float) -> list[Flowable]:
    whole = Element("L")
    items = [Element("LI", parent=whole) for _ in facts]
    return [
        Columns([pieces], [WIDTH], space_after=gap, row=item, cells=[Element("LBody", parent=item)])
        for item, pieces in zip(items, facts, strict=True)
    ]


def _below(card: WindowCard, measure: float) -> list[Flowable]:
    code = _code(card.public_address)
    # The white around the code may stand in the margin, so that its dark edge is in line with the rest.
    width = WIDTH - QR_SIZE - QR_GAP + code.quiet * code.module if code else WIDTH
    left = [
        *p(card.price, _style("price", measure)),
        Gap(8 * measure),
        *p(card.shop_name, _style("shop", measure)),
        *p(card.telephone, _style("telephone", measure)),
    ]
    row = Columns([left, [code]], [width, QR_SIZE], gap=QR_GAP) if code else Columns([left], [width])
    small = f"stock {card.stock_number} \u00b7 {day_in_words(card.printed_on)}"
    foot = Columns(
        [p(LOOK_HERE if code else ASK, styles.BASIS), p(cut_short(small, 60), FOOT)],
        [WIDTH * 0.66, WIDTH * 0.34 - 8],
        gap=8,
    )
    return [Rule(WIDTH, weight=0.9, colour=styles.INK, before=0, after=6 * measure), row, Gap(4), foot]


def _code(address: str) -> QrFigure | None:
    """None when there is no address, or one that no code can hold."""
    if not address:
        return None
    try:
        return QrFigure(address, QR_SIZE, f"QR code for {address[:200]}", quiet=WHOLE_QUIET)
    except ValueError:
        return None
