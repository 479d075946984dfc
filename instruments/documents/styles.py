"""How each kind of line on a paper is set: face, size, leading, space around it."""

from dataclasses import dataclass

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle

from instruments.documents import fonts

fonts.prepare()

INK = HexColor("#211d19")
SOFT_INK = HexColor("#5f574d")
LINE = HexColor("#b9ae9a")
RED = HexColor("#8d2f2a")


def _style(name: str, font: str, size: float, leading: float, **more) -> ParagraphStyle:
    settings = {"textColor": INK, "allowWidows": 0, "allowOrphans": 0, "splitLongWords": 1} | more
    return ParagraphStyle(
        name, fontName=font, bulletFontName=font, fontSize=size, leading=leading, **settings
    )


LETTERHEAD = _style("letterhead", fonts.SERIF_MEDIUM, 12, 14)
LETTERHEAD_SMALL = _style("letterhead small", fonts.SANS, 7.8, 10.4, textColor=SOFT_INK)
LETTERHEAD_RIGHT = _style("letterhead right", fonts.SANS, 7.8, 10.4, textColor=SOFT_INK, alignment=TA_RIGHT)
NAME = _style("name", fonts.SERIF, 33, 35)
TITLE = _style("title", fonts.SERIF, 25, 28)
PRICE = _style("price", fonts.SERIF, 23, 26, alignment=TA_RIGHT)
SENTENCE = _style("sentence", fonts.SERIF_ITALIC, 14, 17.5, spaceBefore=2, textColor=SOFT_INK)
TYPED_SIGNATURE = _style("typed signature", fonts.SERIF_ITALIC, 14, 16)
HEADING = _style("heading", fonts.SERIF_MEDIUM, 13.5, 16, spaceBefore=10, spaceAfter=2.5, keepWithNext=1)
BODY = _style("body", fonts.SERIF, 10.8, 14.2, spaceAfter=4)
TERMS = _style("terms", fonts.SERIF, 10.2, 12.7, spaceAfter=2)
CLAUSE_HEADING = _style("clause heading", fonts.SERIF_MEDIUM, 10.2, 12.7, keepWithNext=1)
SMALL_TERMS = _style("small terms", fonts.SERIF, 9.2, 11.2, spaceAfter=1)
SMALL_CLAUSE_HEADING = _style("small clause heading", fonts.SERIF_MEDIUM, 9.2, 11.2, keepWithNext=1)
FINE_TERMS = _style("fine terms", fonts.SERIF, 8.7, 10.6)
FINE_CLAUSE_HEADING = _style("fine clause heading", fonts.SERIF_MEDIUM, 8.7, 10.6, keepWithNext=1)
LEAD_IN = _style("lead in", fonts.SERIF_MEDIUM, 11, 13.5, keepWithNext=1)
LABEL = _style("label", fonts.SANS, 7.6, 9.6, textColor=SOFT_INK, keepWithNext=1)
LABEL_APART = _style("label apart", fonts.SANS, 7.6, 9.6, textColor=SOFT_INK, spaceBefore=5, keepWithNext=1)
AMOUNT_LABEL = _style(
    "amount label", fonts.SANS, 7.6, 9.6, textColor=SOFT_INK, alignment=TA_RIGHT, keepWithNext=1
)
VALUE = _style("value", fonts.SANS, 10, 12.4)
BASIS = _style("basis", fonts.SANS, 7.6, 9.4, textColor=SOFT_INK)
DATA = _style("data", fonts.SANS, 9, 11.8)
DATA_STRONG = _style("data strong", fonts.SANS_STRONG, 9, 11.8)
AMOUNT = _style("amount", fonts.SANS, 9, 11.8, alignment=TA_RIGHT)
AMOUNT_STRONG = _style("amount strong", fonts.SANS_STRONG, 9, 11.8, alignment=TA_RIGHT)
SMALL = _style("small", fonts.SANS, 8, 10.4, textColor=SOFT_INK, spaceAfter=1.5)
CAPTION = _style("caption", fonts.SERIF_ITALIC, 8.8, 10.6, textColor=SOFT_INK)
CAUTION = _style("caution", fonts.SERIF_ITALIC, 9.2, 11.6, textColor=SOFT_INK, spaceAfter=2)
DRAFT = _style("draft", fonts.SANS_STRONG, 10, 12, textColor=RED, alignment=TA_RIGHT)


@dataclass(frozen=True)
class Setting:
    """How tightly running text is set: the looser where there is room, the tighter to save a page."""

    heading: ParagraphStyle
    body: ParagraphStyle
    data: ParagraphStyle
    basis: ParagraphStyle


LOOSE = Setting(HEADING, BODY, DATA, BASIS)
TIGHT = Setting(
    _style("tight heading", fonts.SERIF_MEDIUM, 12, 14, spaceBefore=6, spaceAfter=1.5, keepWithNext=1),
    _style("tight body", fonts.SERIF, 10, 12.6, spaceAfter=2.5),
    _style("tight data", fonts.SANS, 8.5, 10.8),
    _style("tight basis", fonts.SANS, 7.4, 9, textColor=SOFT_INK),
)
