"""How the listing sheet is set out."""

from functools import partial
from typing import NamedTuple

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.columns import Columns, Newspaper
from instruments.documents.content import DoneItem
from instruments.documents.dates import day_in_words
from instruments.documents.figures import DrawingFigure
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.gallery import MOST_IN_A_ROW, gallery, group_size, single
from instruments.documents.pieces import Gap, Rule, Together, bulleted, facts_grid, section
from instruments.documents.qr import QrFigure
from instruments.documents.sheet import FIRST_PAGE_HEIGHT, FURTHER_PAGE_HEIGHT, WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.letterhead import letterhead
from shop.documents.listing_sheet import ListingSheet

COLUMN_GAP = 22
TERMS_GAP = 16
COLUMN = (WIDTH - COLUMN_GAP) / 2
QR_SIZE = 17 * mm
PRICE_WIDTH = 150
LONGEST_LARGE_PRICE = 24


class PictureSize(NamedTuple):
    group: bool  # the first set large, others beside it
    tallest: float  # of a row, where there is no group


LARGEST = PictureSize(True, 62 * mm)
PICTURE_SIZES = (LARGEST, *(PictureSize(False, height * mm) for height in (62, 50, 38)))
NAME_STYLES = ((30, styles.NAME), (80, styles.TITLE), (float("inf"), styles.SENTENCE))


def lay_out(sheet: ListingSheet) -> bytes:
    imprint = Imprint(
        title=f"{sheet.maker}, stock {sheet.stock_number}",
        subject=sheet.sentence or "An instrument for sale",
        shop_name=sheet.shop.name,
        number=f"stock {sheet.stock_number}",
        dated=sheet.printed_on,
        content_hash=in_fours(content_hash(sheet)),
        running_head=f"{sheet.maker}, stock {sheet.stock_number}, continued",
    )
    head, closing = _head(sheet), _closing(sheet)
    body = _on_one_page(sheet, head, closing) or _on_both_sides(sheet, head, closing)
    return print_sheet([*head, *body, *closing], imprint)


def _on_one_page(sheet: ListingSheet, head: list[Flowable], closing: list[Flowable]) -> list[Flowable]:
    """The largest of our settings that one page can hold beside the rest; nothing if none can."""
    compass = _compass(sheet)
    pictures = {size: [*_pictures(sheet, size), *compass] for size in PICTURE_SIZES}
    for setting in (styles.LOOSE, styles.TIGHT):
        words = [*_story(sheet, setting), *_record(sheet, setting)]
        words = [*_in_two_columns(words), *_terms(sheet)]
        for size in PICTURE_SIZES:
            body = [*pictures[size], *words]
            if pour.height_of([*head, *body, *closing], WIDTH) <= FIRST_PAGE_HEIGHT:
                return body
    return []


def _on_both_sides(sheet: ListingSheet, head: list[Flowable], closing: list[Flowable]) -> list[Flowable]:
    """What it is on the front, with large photographs; what was done and found on the back.

    The loosest of our settings that two pages can hold; the loosest of all where none is so short.
    """
    in_front = group_size(sheet.photos, width=WIDTH) or MOST_IN_A_ROW
    backs = _backs(sheet, in_front)
    loosest: list[Flowable] = []
    for front, behind in _fronts(sheet, head, in_front):
        for back in backs:
            body = [*front, pour.NewPage(), *back, *behind]
            if pour.height_of([*back, *behind, *closing], WIDTH) <= FURTHER_PAGE_HEIGHT:
                return body
            loosest = loosest or body
    return loosest or [*_front(sheet, styles.LOOSE, in_front), *_terms(sheet), *backs[0]]


def _fronts(sheet: ListingSheet, head: list[Flowable], in_front: int):
    """Each front that fits, with what then stands behind it: the terms, where it has no room for them."""
    terms = _terms(sheet)
    for setting in (styles.LOOSE, styles.TIGHT):
        front = _front(sheet, setting, in_front)
        if pour.height_of([*head, *front, *terms], WIDTH) <= FIRST_PAGE_HEIGHT:
            yield [*front, *terms], []
        elif pour.height_of([*head, *front], WIDTH) <= FIRST_PAGE_HEIGHT:
            yield front, terms


def _front(sheet: ListingSheet, setting: styles.Setting, in_front: int) -> list[Flowable]:
    pictures = _pictures(sheet, LARGEST, most=in_front)
    return [*pictures, *_compass(sheet), *_in_two_columns(_story(sheet, setting))]


def _backs(sheet: ListingSheet, in_front: int) -> list[list[Flowable]]:
    """What was done and found with the rest of the photographs, from loose and large to tight and small."""
    return [
        [
            *_in_two_columns(_record(sheet, setting)),
            *gallery(sheet.photos[in_front:], width=WIDTH, group=False, tallest_row=size.tallest),
        ]
        for setting in (styles.LOOSE, styles.TIGHT)
        for size in PICTURE_SIZES[1:]
    ]


def _head(sheet: ListingSheet) -> list[Flowable]:
    style = next(style for most, style in NAME_STYLES if len(sheet.maker) <= most)
    name = p(sheet.maker, style, kind="H1")
    price_style = styles.PRICE if len(sheet.price) <= LONGEST_LARGE_PRICE else styles.AMOUNT
    price = [*p(sheet.price, price_style), *p(sheet.price_note, styles.LETTERHEAD_RIGHT)]
    drop = style.fontSize - styles.PRICE.fontSize  # so that both stand on one line
    columns = [[Gap(max(0, -drop)), *name], [Gap(max(0, drop)), *price]]
    return [
        *letterhead(sheet.shop, f"Stock number {sheet.stock_number}\n{day_in_words(sheet.printed_on)}"),
        Columns(columns, [WIDTH - PRICE_WIDTH - 12, PRICE_WIDTH], space_after=1),
        *p(sheet.sentence, styles.SENTENCE),
    ]


def _pictures(sheet: ListingSheet, size: PictureSize, *, most: int | None = None) -> list[Flowable]:
    """The photographs and the facts; a single photograph has the facts beside it."""
    if len(sheet.photos) == 1 and sheet.facts:
        column, across, tallest = (50 * mm, 1, 88 * mm) if size.group else (86 * mm, 2, size.tallest)
        beside = WIDTH - column - COLUMN_GAP
        photo = single(sheet.photos[0], width=beside, tallest=tallest)
        facts = facts_grid(sheet.facts, width=column, across=across)
        return [Columns([photo, facts], [beside, column], gap=COLUMN_GAP, space_before=10)]
    photos = gallery(sheet.photos[:most], width=WIDTH, group=size.group, tallest_row=size.tallest)
    return [*photos, *_facts(sheet)]


def _facts(sheet: ListingSheet) -> list[Flowable]:
    if not sheet.facts:
        return []
    return [Rule(colour=styles.INK, before=8, after=4), *facts_grid(sheet.facts), Rule(before=4, after=3)]


def _story(sheet: ListingSheet, setting: styles.Setting) -> list[Flowable]:
    return [piece for paragraph in sheet.paragraphs for piece in p(paragraph, setting.body)]


def _record(sheet: ListingSheet, setting: styles.Setting) -> list[Flowable]:
    listed = partial(_listed, setting=setting)
    return [
        *listed("What we did", [_done(item, setting) for item in sheet.done]),
        *listed("What we did not do", _plain(sheet.not_done, setting)),
        *listed("Faults you should know of", _plain(sheet.faults, setting)),
        *listed("What we accepted as it is", _plain(sheet.limits, setting)),
        *listed("Not examined", _plain(sheet.not_examined, setting)),
    ]


def _compass(sheet: ListingSheet) -> list[Flowable]:
    words = p(sheet.compass, styles.CAPTION, kind="Caption")
    if sheet.keyboard is None:
        return words
    alt = f"Drawing of the keyboard. {sheet.compass}"
    picture = DrawingFigure(sheet.keyboard, WIDTH, alt, space_after=0)
    return [Together([picture, *words], before=7, after=3)]


def _terms(sheet: ListingSheet) -> list[Flowable]:
    """Trial, guarantee and delivery side by side in small print."""
    terms = (("At home, on trial", sheet.trial), ("Guarantee", sheet.guarantee), ("Delivery", sheet.delivery))
    columns = [
        [*p(title, styles.LEAD_IN, kind="H2"), *words]
        for title, text in terms
        if (words := p(text, styles.SMALL))
    ]
    if not columns:
        return []
    width = (WIDTH - TERMS_GAP * (len(columns) - 1)) / len(columns)
    return [Rule(before=8, after=4), Columns(columns, [width] * len(columns), gap=TERMS_GAP)]


def _in_two_columns(pieces: list[Flowable]) -> list[Flowable]:
    return [Newspaper(pieces, WIDTH, gap=COLUMN_GAP, space_before=9)] if pieces else []


def _listed(title: str, items: list[list[Flowable]], *, setting: styles.Setting) -> list[Flowable]:
    return section(title, bulleted(items, width=COLUMN), width=COLUMN, setting=setting)


def _plain(items: tuple[str, ...], setting: styles.Setting) -> list[list[Flowable]]:
    return [pieces for item in items if (pieces := p(item, setting.data))]


def _done(item: DoneItem, setting: styles.Setting) -> list[Flowable]:
    small = [day_in_words(item.done_on)] if item.done_on else []
    small += [item.measured] if item.measured else []
    return [*p(item.text, setting.data), *p(" \u00b7 ".join(small), setting.basis)]


def _closing(sheet: ListingSheet) -> list[Flowable]:
    """At the foot of the last page: where to look further, and what to bear in mind."""
    words = [piece for caution in sheet.cautions for piece in p(caution, styles.CAUTION)]
    if sheet.public_address:
        words += p("More photographs, and whether it is still for sale:", styles.SMALL)
        words += p(sheet.public_address, styles.DATA)
    if not words:
        return []
    code = _code(sheet.public_address)
    block = [Columns([words, [code]], [WIDTH - QR_SIZE - 12, QR_SIZE])] if code else words
    return [Together([Rule(before=0, after=5), *block], before=10, at_foot=True)]


def _code(address: str) -> QrFigure | None:
    """None when there is no address, or one that no code can hold: it is printed in words in any case."""
    if not address:
        return None
    try:
        return QrFigure(address, QR_SIZE, f"QR code for {address[:200]}")
    except ValueError:
        return None
