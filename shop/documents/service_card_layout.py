"""The service card: half a sheet of A4 to cut out, with the visits so far and rows for those to come."""

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Gap, Rule
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.guarantee import CardRow, ServiceCard

CARD_WIDTH, CARD_HEIGHT = WIDTH, 210 * mm  # the width of the page inside its margins
INSET = 6 * mm
INSIDE = CARD_WIDTH - 2 * INSET
ROW_HEIGHT = 9.5 * mm
COLUMNS = (("Day", 0.15), ("What was done", 0.37), ("A4 found, left", 0.2), ("Air", 0.14), ("Next due", 0.14))
CELL_GAP = 5
LONGEST = {"Day": 16, "What was done": 70, "A4 found, left": 34, "Air": 24, "Next due": 16}
CUT = "Cut along the line and keep the card under the lid. Whoever tunes it next writes the next row."


class Rows(Flowable):
    """A ruled table of so many rows as fit; words stand in those that are written."""

    def __init__(self, rows: tuple[CardRow, ...], height: float):
        super().__init__()
        self.count = max(1, int(height / ROW_HEIGHT) - 1)
        self.rows = rows[-self.count :]

    def wrap(self, width, height):
        return INSIDE, (self.count + 1) * ROW_HEIGHT

    def draw(self):
        top = (self.count + 1) * ROW_HEIGHT
        self._line([name for name, _ in COLUMNS], top, styles.LABEL)
        for place in range(self.count):
            top -= ROW_HEIGHT
            with self.canv.artifact():
                self.canv.setStrokeColor(styles.LINE)
                self.canv.setLineWidth(0.5)
                self.canv.line(0, top, INSIDE, top)
            if place < len(self.rows):
                row = self.rows[place]
                self._line([row.day, row.work, row.pitch, row.air, row.next_due], top, styles.BASIS)

    def _line(self, cells: list[str], top: float, style) -> None:
        left = 0.0
        for (name, share), words in zip(COLUMNS, cells, strict=True):
            width = share * INSIDE
            pieces = p(cut_short(words, LONGEST[name]), style)
            placed, _ = pour.fill(pieces, width - CELL_GAP, ROW_HEIGHT, force=True)
            pour.draw(placed, self.canv, left, top - 2)
            left += width


class Card(Flowable):
    """A frame to cut along, with pieces inside it."""

    def __init__(self, pieces: list[Flowable]):
        super().__init__()
        self.pieces = pieces
        self.spaceBefore = 10

    def wrap(self, width, height):
        self._placed, _ = pour.fill(self.pieces, INSIDE, CARD_HEIGHT - 2 * INSET, force=True)
        return CARD_WIDTH, CARD_HEIGHT

    def draw(self):
        with self.canv.artifact():
            self.canv.setStrokeColor(styles.LINE)
            self.canv.setLineWidth(0.6)
            self.canv.setDash(3, 3)
            self.canv.rect(0, 0, CARD_WIDTH, CARD_HEIGHT)
            self.canv.setDash()
        pour.draw(self._placed, self.canv, INSET, CARD_HEIGHT - INSET)


def lay_out(card: ServiceCard) -> bytes:
    imprint = Imprint(
        title=f"Service card of {card.instrument}",
        subject=f"{card.instrument}, visits so far",
        shop_name=card.shop.name,
        number="Service card",
        dated=card.printed_on,
        content_hash=in_fours(content_hash(card)),
        running_head=f"Service card of {card.instrument}, continued",
    )
    return print_sheet([*p(CUT, styles.CAUTION), Card(_card(card))], imprint)


def _card(card: ServiceCard) -> list[Flowable]:
    head = [
        *p(cut_short(card.instrument, 90), styles.DATA_STRONG, kind="H1"),
        *p(
            " \u00b7 ".join(f"{fact.label}: {cut_short(fact.value, 50)}" for fact in card.facts), styles.SMALL
        ),
        *(piece for line in card.advice for piece in p(cut_short(line, 160), styles.SMALL)),
        Rule(INSIDE, colour=styles.INK, before=4, after=4),
    ]
    foot = [
        Gap(4),
        *p(
            " \u00b7 ".join([card.shop.name, *card.shop.contacts, day_in_words(card.printed_on)]),
            styles.BASIS,
        ),
    ]
    room = CARD_HEIGHT - 2 * INSET - pour.height_of([*head, *foot], INSIDE)
    return [*head, Rows(card.rows, room - 4), *foot]


def cut_short(words: str, most: int) -> str:
    """On one line, of at most so many characters."""
    words = " ".join(words.split())
    return words if len(words) <= most else words[: most - 1].rstrip() + "\u2026"
