"""How the overview is set out: picture, name and facts, price, with a pale rule between instruments."""

from dataclasses import replace

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.content import Photo
from instruments.documents.dates import day_in_words
from instruments.documents.figures import DrawingFigure, PhotoFigure
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.jpeg import read_jpeg
from instruments.documents.pieces import Rule, Together, facts_grid
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from instruments.drawings.shapes import Drawing
from shop.documents.letterhead import letterhead
from shop.documents.overview import Entry, Overview

PICTURE, TALLEST = 40 * mm, 32 * mm
PRICE = 74
GAP = 12
WORDS = WIDTH - PICTURE - PRICE - 2 * GAP
OURS = "For us, not to be handed out"


def lay_out(overview: Overview) -> bytes:
    imprint = Imprint(
        title=f"{overview.title}, {day_in_words(overview.printed_on)}",
        subject=overview.note,
        shop_name=overview.shop.name,
        number="stock overview",
        dated=overview.printed_on,
        content_hash=in_fours(content_hash(_without_drawings(overview))),
        running_head=overview.title,
        notice=OURS if overview.is_ours else "",
    )
    head = [
        *letterhead(overview.shop, day_in_words(overview.printed_on)),
        *p(overview.title, styles.TITLE, kind="H1"),
        *p(overview.note, styles.SENTENCE),
    ]
    return print_sheet([*head, *(_entry(entry) for entry in overview.entries)], imprint)


def _without_drawings(overview: Overview) -> Overview:
    """What is hashed: a drawing follows from the facts beside it."""
    return replace(overview, entries=tuple(replace(entry, drawing=None) for entry in overview.entries))


def _entry(entry: Entry) -> Flowable:
    words = [
        *p(entry.maker, styles.HEADING, kind="H2"),
        *p(entry.sentence, styles.CAPTION),
        *facts_grid(entry.facts, width=WORDS, across=3 if len(entry.facts) <= 3 else 4, gap=8),
    ]
    side = [
        *p(entry.price, styles.AMOUNT_STRONG),
        *p(f"stock {entry.stock_number}", styles.LETTERHEAD_RIGHT),
        *p(entry.state, styles.LETTERHEAD_RIGHT),
    ]
    row = Columns([_picture(entry.photo, entry.drawing), words, side], [PICTURE, WORDS, PRICE], gap=GAP)
    return Together([Rule(before=0, after=5), row], before=7)


def _picture(photo: Photo | None, drawing: Drawing | None) -> list[Flowable]:
    """A photograph that cannot be read says so, and does not keep the paper from being made."""
    if photo:
        try:
            jpeg = read_jpeg(photo.read())
        except (OSError, ValueError):
            return p("The photograph cannot be printed.", styles.CAPTION)
        return [PhotoFigure(jpeg, min(PICTURE, TALLEST * jpeg.aspect), photo.alt)]
    return [DrawingFigure(drawing, PICTURE, drawing.name)] if drawing else []
