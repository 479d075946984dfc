"""The A4 page that every paper is printed on: margins, running head, foot line, the file's own data."""

from dataclasses import dataclass, replace
from datetime import date
from io import BytesIO

from reportlab.lib.pagesizes import A4
from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import fonts, pour, styles
from instruments.documents.dates import day_in_words
from instruments.documents.tags import TaggedCanvas
from instruments.documents.text import MARK, printable, speakable

PAGE_WIDTH, PAGE_HEIGHT = A4
MARGIN = 18 * mm
WIDTH = PAGE_WIDTH - 2 * MARGIN
FOOT_HEIGHT = 16
HEAD_HEIGHT = 20
FIRST_PAGE_HEIGHT = PAGE_HEIGHT - 2 * MARGIN - FOOT_HEIGHT
FURTHER_PAGE_HEIGHT = FIRST_PAGE_HEIGHT - HEAD_HEIGHT
FOOT_SIZE = 7.4
SEPARATOR = " \u00b7 "


@dataclass(frozen=True)
class Imprint:
    """What a paper says of itself, in its foot line and in the file's own data."""

    title: str
    subject: str
    shop_name: str
    number: str
    dated: date
    content_hash: str
    running_head: str
    notice: str = ""  # such as "Draft, not signed": in the foot line of every page


def print_sheet(pieces: list[Flowable], imprint: Imprint) -> bytes:
    """The finished PDF. The same pieces and imprint give the same bytes.

    A piece marked `at_foot` stands at the foot of its page when it is the last one there.
    """
    pages = [_with_foot_lowered(placed, _height(number)) for number, placed in enumerate(_paginate(pieces))]
    stream = BytesIO()
    canvas = TaggedCanvas(stream)
    describe(canvas, imprint)
    for position, placed in enumerate(pages):
        top = PAGE_HEIGHT - MARGIN
        if position:
            _draw_running_head(canvas, imprint.running_head)
            top -= HEAD_HEIGHT
        pour.draw(placed, canvas, MARGIN, top)
        _draw_foot(canvas, imprint, f"{position + 1} of {len(pages)}", has_mark=_any_mark(placed))
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _height(page: int) -> float:
    return FURTHER_PAGE_HEIGHT if page else FIRST_PAGE_HEIGHT


def _paginate(pieces: list[Flowable]) -> list[list[pour.Placed]]:
    pages = []
    while pieces or not pages:
        placed, pieces = pour.fill(pieces, WIDTH, _height(len(pages)), force=True)
        pages.append(placed)
    return pages


def _with_foot_lowered(placed: list[pour.Placed], height: float) -> list[pour.Placed]:
    if not placed or not getattr(placed[-1].piece, "at_foot", False):
        return placed
    last = placed[-1]
    return [*placed[:-1], replace(last, top=max(last.top, height - last.height))]


def describe(canvas: TaggedCanvas, imprint: Imprint) -> None:
    """Title, subject, shop, number, hash and day into the file's own data; the language is the canvas's."""
    one_line = {
        name: speakable(getattr(imprint, name))
        for name in ("title", "subject", "shop_name", "number", "content_hash")
    }
    canvas.setTitle(one_line["title"])
    canvas.setSubject(one_line["subject"])
    canvas.setAuthor(one_line["shop_name"])
    canvas.setCreator("Wrestplank")
    canvas.setProducer("Wrestplank")
    canvas.setKeywords([one_line["number"], one_line["content_hash"]])
    canvas.setDateFormatter(lambda *_: f"D:{imprint.dated:%Y%m%d}000000Z")


def _draw_running_head(canvas: TaggedCanvas, words: str) -> None:
    baseline = PAGE_HEIGHT - MARGIN - 8
    with canvas.artifact():
        canvas.setFillColor(styles.SOFT_INK)
        canvas.setFont(fonts.SERIF_ITALIC, 9.5)
        canvas.drawString(MARGIN, baseline, _fitted(words, fonts.SERIF_ITALIC, 9.5, WIDTH))
        _line(canvas, baseline - 4)


def _draw_foot(canvas: TaggedCanvas, imprint: Imprint, numbering: str, *, has_mark: bool) -> None:
    baseline = MARGIN
    words = [imprint.notice] if imprint.notice else []
    words += [
        imprint.shop_name,
        imprint.number,
        day_in_words(imprint.dated),
        f"content {imprint.content_hash}",
    ]
    if has_mark:
        words.append(f"{MARK} stands for a character our fonts lack")
    room = WIDTH - fonts.width_of(numbering, fonts.SANS, FOOT_SIZE) - 12
    with canvas.artifact():
        _line(canvas, baseline + 10)
        canvas.setFillColor(styles.SOFT_INK)
        canvas.setFont(fonts.SANS, FOOT_SIZE)
        canvas.drawString(MARGIN, baseline, _foot_words(words, room))
        canvas.drawRightString(PAGE_WIDTH - MARGIN, baseline, numbering)


def _foot_words(words: list[str], room: float) -> str:
    """All on one line: a long shop name gives way first, then whatever is longest."""
    parts = [printable(each, fonts.SANS) for each in words if each]
    while fonts.width_of(SEPARATOR.join(parts), fonts.SANS, FOOT_SIZE) > room:
        longest = max(range(len(parts)), key=lambda each: len(parts[each]))
        if len(parts[longest]) <= 8:
            break
        parts[longest] = parts[longest][: min(len(parts[longest]) - 4, 120)].rstrip() + "\u2026"
    return SEPARATOR.join(parts)


def _fitted(words: str, font: str, size: float, room: float) -> str:
    line = printable(words, font)[:300]
    if fonts.width_of(line, font, size) <= room:
        return line
    while line and fonts.width_of(line + "\u2026", font, size) > room:
        line = line[:-1]
    return line.rstrip() + "\u2026"


def _line(canvas: TaggedCanvas, y: float) -> None:
    canvas.setStrokeColor(styles.LINE)
    canvas.setLineWidth(0.5)
    canvas.line(MARGIN, y, PAGE_WIDTH - MARGIN, y)


def _any_mark(placed: list[pour.Placed]) -> bool:
    return any(_has_mark(each.piece) for each in placed)


def _has_mark(piece: Flowable) -> bool:
    inner = [each for column in getattr(piece, "columns", []) for each in column] + getattr(
        piece, "pieces", []
    )
    return getattr(piece, "has_mark", False) or any(_has_mark(each) for each in inner)
