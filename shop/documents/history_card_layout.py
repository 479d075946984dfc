"""The short form: a card of the size of a postcard, to cut out and keep inside the bottom door."""

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.columns import Columns
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import in_fours
from instruments.documents.pieces import Gap, Rule
from instruments.documents.sheet import Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.history_layout import code_for
from shop.documents.instrument_history import HistoryPaper

CARD_WIDTH, CARD_HEIGHT = 148 * mm, 105 * mm  # A6 lying down
INSET = 7 * mm
INSIDE = CARD_WIDTH - 2 * INSET
ROOM = CARD_HEIGHT - 2 * INSET
QR_SIZE = 25 * mm
SIDE = 36 * mm
GAP = 14
WORDS = INSIDE - SIDE - GAP
NAMES = ((26, styles.TITLE), (70, styles.SENTENCE), (float("inf"), styles.DATA_STRONG))
LONGEST_NAME, LONGEST_LINE, LONGEST_FACT = 140, 230, 60
CARD_FACTS = ("Made", "Serial", "Compass", "Key tops")
WHERE_TO_LOOK = "The whole of it, and whether it still stands, by the code above."
WHOM_TO_ASK = "The whole of it, and whether it still stands: ask us."
CUT = "Cut along the line and keep the card inside the bottom door, where the next tuner will find it."


class Card(Flowable):
    """A frame to cut along, with pieces inside it."""

    def __init__(self, pieces: list[Flowable]):
        super().__init__()
        self.pieces = pieces
        self.spaceBefore = 12

    def wrap(self, width, height):
        self._placed, _ = pour.fill(self.pieces, INSIDE, ROOM)
        return CARD_WIDTH, CARD_HEIGHT

    def draw(self):
        with self.canv.artifact():
            self.canv.setStrokeColor(styles.LINE)
            self.canv.setLineWidth(0.6)
            self.canv.setDash(3, 3)
            self.canv.rect(0, 0, CARD_WIDTH, CARD_HEIGHT)
            self.canv.setDash()
        pour.draw(self._placed, self.canv, INSET, CARD_HEIGHT - INSET)


def lay_out(paper: HistoryPaper) -> bytes:
    history = paper.history
    imprint = Imprint(
        title=f"Short history of {history.maker}, stock {history.stock_number}",
        subject=history.sentence,
        shop_name=paper.shop.name,
        number=paper.number,
        dated=paper.issued_on,
        content_hash=in_fours(paper.sha256),
        running_head=f"{history.maker}, stock {history.stock_number}, continued",
    )
    return print_sheet([*p(CUT, styles.CAUTION), Card(_card(paper))], imprint)


def _card(paper: HistoryPaper) -> list[Flowable]:
    """As many of the lines as the card holds, whole ones only; the long form has them all.

    What did not bear testing is chosen first, so that a full card never leaves it out.
    """
    left = [*_name(paper), *_facts(paper)]
    lines, kept = _lines(paper), set()
    for place in sorted(range(len(lines)), key=lambda place: lines[place][0]):
        printed = [lines[each][1] for each in sorted({*kept, place})]
        if pour.height_of([*left, *_told(printed)], WORDS) <= ROOM:
            kept.add(place)
    told = _told([lines[place][1] for place in sorted(kept)])
    return [Columns([[*left, *told], _side(paper)], [WORDS, SIDE], gap=GAP)]


def _name(paper: HistoryPaper) -> list[Flowable]:
    maker = cut_short(paper.history.maker, LONGEST_NAME)
    style = next(style for most, style in NAMES if len(maker) <= most)
    return [
        *p(maker, style, kind="H1"),
        *p(cut_short(paper.history.sentence, LONGEST_LINE), styles.SMALL),
        Rule(WORDS, colour=styles.INK, before=3, after=3),
    ]


def _facts(paper: HistoryPaper) -> list[Flowable]:
    facts = [fact for fact in paper.history.facts if fact.label in CARD_FACTS][: len(CARD_FACTS)]
    return [
        piece
        for fact in facts
        for piece in p(
            f"{fact.label}: {cut_short(fact.value, LONGEST_FACT)}"
            + (f" ({cut_short(fact.basis, LONGEST_LINE // 2)})" if fact.basis else ""),
            styles.SMALL,
        )
    ]


def _lines(paper: HistoryPaper) -> list[tuple[int, str]]:
    """What is said, what did not bear testing, what was done, each with its turn in being chosen.

    A sentence is printed whole or not at all, but for what did not bear testing: of that at least its first.
    """
    history = paper.history
    tested = [line if len(line) <= LONGEST_LINE else _first_sentence(line) for line in history.tested]
    did = [", ".join(filter(None, [done.name, done.done_on, done.measured])) for done in history.done]
    lines = [
        *((1, said.sentence) for said in history.said),
        *((0, line) for line in tested),
        *((2, line) for line in did),
    ]
    return [(turn, line) for turn, line in lines if len(line) <= LONGEST_LINE]


def _first_sentence(words: str) -> str:
    return f"{words.partition('. ')[0].rstrip('.')}."


def _told(lines: list[str]) -> list[Flowable]:
    if not lines:
        return []
    return [
        Rule(WORDS, before=3, after=3),
        *(piece for line in lines for piece in p(line, styles.SMALL)),
    ]


def _side(paper: HistoryPaper) -> list[Flowable]:
    code = code_for(paper.public_address, QR_SIZE)
    shop = cut_short(paper.shop.name, LONGEST_NAME // 2)
    contacts = [cut_short(each, LONGEST_FACT) for each in paper.shop.contacts[:2]]
    words = [
        f"History {paper.number}",
        f"Stock {paper.history.stock_number}",
        day_in_words(paper.issued_on),
        f"content {in_fours(paper.sha256)}",
        WHERE_TO_LOOK if code else WHOM_TO_ASK,
    ]
    return [
        *([code] if code else []),
        *(piece for line in words for piece in p(line, styles.BASIS)),
        Gap(8),
        *p(shop, styles.LEAD_IN),
        *(piece for line in contacts for piece in p(line, styles.BASIS)),
    ]


def cut_short(words: str, most: int) -> str:
    """On one line, of at most so many characters."""
    words = " ".join(words.split())
    return words if len(words) <= most else words[: most - 1].rstrip() + "\u2026"
