"""How the history is set out on A4: what it is, its life, what is said, found and done, what is not known."""

from datetime import date

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns, Newspaper
from instruments.documents.content import ConditionLine
from instruments.documents.dates import day_in_words
from instruments.documents.figures import DrawingFigure
from instruments.documents.fingerprint import in_fours
from instruments.documents.gallery import gallery
from instruments.documents.pieces import (
    Gap,
    Rule,
    Together,
    bulleted,
    condition_table,
    facts_grid,
    heading,
    section,
)
from instruments.documents.qr import QrFigure
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from instruments.drawings.keyboard import keyboard_drawing
from instruments.drawings.life_line import Entry, life_line
from shop.documents.instrument_history import Done, HistoryPaper, Lived, Said, Serviced
from shop.documents.letterhead import letterhead

SETTING = styles.LOOSE
COLUMN_GAP = 22
COLUMN = (WIDTH - COLUMN_GAP) / 2
LIFE_WIDTH = 820  # in drawing units, so that its words come out at about 8.5 points
QR_SIZE = 24 * mm
TITLE_STYLES = ((40, styles.NAME), (100, styles.TITLE), (float("inf"), styles.SENTENCE))
WHERE_TO_LOOK = "The page below shows this history as issued, and says whether the record has changed since."
WHOM_TO_ASK = "Ask us by the number of this history: we can show it as issued, and what has changed since."
HOW_TO_READ = (
    "What is only told is printed as told, and by whom in a word, never by name. Seen, measured, marks and"
    " documents are what we found ourselves. What did not bear testing is not repeated as if it held."
)


def lay_out(paper: HistoryPaper) -> bytes:
    history = paper.history
    imprint = Imprint(
        title=f"History of {history.maker}, stock {history.stock_number}",
        subject=history.sentence,
        shop_name=paper.shop.name,
        number=paper.number,
        dated=paper.issued_on,
        content_hash=in_fours(paper.sha256),
        running_head=f"{history.maker}, stock {history.stock_number}: its history, {paper.number}, continued",
    )
    pieces = [
        *_head(paper),
        *_life(history.life, paper.issued_on),
        *_statements(paper),
        *_examined(paper),
        *_work(paper),
        *_serviced(paper),
        *_pictures(paper),
        *_lists("What is not known", history.not_known),
        *_closing(paper),
    ]
    return print_sheet(pieces, imprint)


def _head(paper: HistoryPaper) -> list[Flowable]:
    history = paper.history
    style = next(style for most, style in TITLE_STYLES if len(history.maker) <= most)
    reference = (
        f"History {paper.number}\nStock number {history.stock_number}\n{day_in_words(paper.issued_on)}"
    )
    drawing = keyboard_drawing(history.first_key, history.key_count)
    alt = f"Drawing of the keyboard. {history.compass}"
    return [
        *letterhead(paper.shop, reference),
        *p(history.maker, style, kind="H1"),
        *p(history.sentence, styles.SENTENCE),
        Rule(colour=styles.INK, before=8, after=4),
        *facts_grid(history.facts),
        Rule(before=4, after=3),
        Together(
            [DrawingFigure(drawing, WIDTH, alt), *p(history.compass, styles.CAPTION, kind="Caption")],
            before=6,
            after=2,
        ),
    ]


def _life(life: tuple[Lived, ...], today: date) -> list[Flowable]:
    if not any(lived.dated for lived in life):
        return []
    entries = [Entry(each.label, each.detail, each.dated, each.mark, each.kind, each.lasts) for each in life]
    drawing = life_line(entries, today=today, width=LIFE_WIDTH)
    words = "; ".join(f"{each.label} ({each.detail})" for each in life)
    figure = DrawingFigure(drawing, WIDTH, f"Life line. {words}", space_before=4)
    return [Together([*heading("Its life, and how we know it", SETTING), figure], before=6, after=4)]


def _statements(paper: HistoryPaper) -> list[Flowable]:
    history = paper.history
    said = [_said(each) for each in history.said]
    pieces = section("What is said of it", bulleted(said, width=WIDTH), width=WIDTH, setting=SETTING)
    if pieces:
        pieces += [Gap(3), *p(HOW_TO_READ, styles.CAPTION)]
    pieces += _lists("What did not bear testing", history.tested)
    owners = [*p(history.owners, SETTING.body), *_notes(history.owner_notes)]
    return [*pieces, *section("Its owners, as far as told", owners, width=WIDTH, setting=SETTING)]


def _said(said: Said) -> list[Flowable]:
    return [*p(said.sentence, styles.TERMS), *p(f"{said.topic}. {said.basis}", SETTING.basis), Gap(3)]


def _notes(notes: tuple[str, ...]) -> list[Flowable]:
    return [
        piece for number, note in enumerate(notes, start=1) for piece in p(f"[{number}] {note}", styles.SMALL)
    ]


def _examined(paper: HistoryPaper) -> list[Flowable]:
    history = paper.history
    lines = tuple(
        ConditionLine(each.part, each.condition, _listed(each.note, each.measured, each.found_on))
        for each in history.examined
    )
    pieces = section("What was examined", condition_table(lines), width=WIDTH, setting=SETTING)
    if history.not_examined:
        parts = ", ".join(part.lower() for part in history.not_examined)
        pieces += section(
            "Not examined", p(f"{parts[:1].upper()}{parts[1:]}.", SETTING.data), width=WIDTH, setting=SETTING
        )
    return pieces


def _work(paper: HistoryPaper) -> list[Flowable]:
    history = paper.history
    done = [_done(each) for each in history.done]
    columns = [
        *section("What we did", bulleted(done, width=COLUMN), width=COLUMN, setting=SETTING),
        *_lists("What we did not do", history.not_done, width=COLUMN),
        *_lists("Touch weight", history.touch, width=COLUMN),
    ]
    return [Newspaper(columns, WIDTH, gap=COLUMN_GAP, space_before=9)] if columns else []


def _done(done: Done) -> list[Flowable]:
    outside = f"Accepted outside its limit: {done.limit}" if done.limit else ""
    return [
        *p(_joined(done.name, done.result), SETTING.data),
        *p(_listed(done.done_on, done.measured, outside), SETTING.basis),
    ]


def _serviced(paper: HistoryPaper) -> list[Flowable]:
    rows = [_service(each) for each in paper.history.serviced]
    return section("Serviced since", bulleted(rows, width=WIDTH), width=WIDTH, setting=SETTING)


def _service(each: Serviced) -> list[Flowable]:
    keys = f"Notes {each.keys}" if each.keys else ""
    return [
        *p(_joined(each.what, each.work), SETTING.data),
        *p(_listed(each.day, each.pitch, each.air, keys), SETTING.basis),
    ]


def _pictures(paper: HistoryPaper) -> list[Flowable]:
    if not paper.photos:
        return []
    return [*heading("Photographs", SETTING), *gallery(paper.photos, width=WIDTH, group=False)]


def _lists(title: str, lines: tuple[str, ...], *, width: float = WIDTH) -> list[Flowable]:
    items = [pieces for line in lines if (pieces := p(line, SETTING.data))]
    return section(title, bulleted(items, width=width), width=width, setting=SETTING)


def _closing(paper: HistoryPaper) -> list[Flowable]:
    """At the foot of the last page: how anybody can see whether the record has changed since."""
    words = [
        *p("Does the record still say this?", styles.LEAD_IN, kind="H2"),
        *p(
            WHERE_TO_LOOK if paper.public_address else WHOM_TO_ASK,
            styles.SMALL,
        ),
        *p(paper.public_address, styles.DATA),
        *p(f"Content, SHA-256: {in_fours(paper.sha256, groups=16)}", styles.BASIS),
    ]
    code = code_for(paper.public_address, QR_SIZE)
    block = [Columns([words, [code]], [WIDTH - QR_SIZE - 12, QR_SIZE])] if code else words
    return [Together([Rule(before=0, after=5), *block], before=12, at_foot=True)]


def code_for(address: str, size: float) -> QrFigure | None:
    """None when there is no address, or one that no code can hold: it is printed in words in any case."""
    if not address:
        return None
    try:
        return QrFigure(address, size, f"QR code for {address[:200]}")
    except ValueError:
        return None


def _joined(name: str, rest: str) -> str:
    return f"{name}: {rest}" if rest else name


def _listed(*words: str) -> str:
    return " \u00b7 ".join(filter(None, words))
