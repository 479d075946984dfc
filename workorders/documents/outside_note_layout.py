"""How the note that goes with a piece is set out."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.content import Fact
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.letterhead import letterhead
from instruments.documents.pieces import Rule, Together, WritingLines, facts_grid, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from workorders.documents.outside_note import OutsideNote

GAP = 22
HALF = (WIDTH - GAP) / 2
TO_SIGN = ("Signature", "Name in capitals", "Day")
NOT_SAID = "not said"


def lay_out(note: OutsideNote) -> bytes:
    imprint = Imprint(
        title=f"Work outside {note.number}",
        subject=f"{note.kind}: {note.instrument}, stock {note.stock_number}",
        shop_name=note.house.name,
        number=note.number,
        dated=note.printed_on,
        content_hash=in_fours(content_hash(note)),
        running_head=f"Work outside {note.number}, continued",
    )
    return print_sheet([*_head(note), *_body(note), *_signing(note)], imprint)


def _head(note: OutsideNote) -> list[Flowable]:
    reference = f"{note.number}\nStock number {note.stock_number}\n{day_in_words(note.printed_on)}"
    return [
        *letterhead(note.house, reference),
        *p(f"{note.kind}, to {note.outworker.name}", styles.TITLE, kind="H1"),
        *p(f"{note.instrument}, stock number {note.stock_number}", styles.SENTENCE),
        Rule(colour=styles.INK, before=6, after=4),
        *facts_grid(_facts(note), across=2),
    ]


def _facts(note: OutsideNote) -> tuple[Fact, ...]:
    reach = ", ".join(filter(None, [note.outworker.address, *note.outworker.contacts]))
    return (
        Fact("Goes to", note.outworker.name, reach or note.trade),
        Fact("Our order", note.order, ", ".join(note.items)),
        Fact("Goes on", day_in_words(note.sent_on) if note.sent_on else "to be filled in"),
        Fact("Promised back on", day_in_words(note.promised_on) if note.promised_on else NOT_SAID),
    )


def _body(note: OutsideNote) -> list[Flowable]:
    condition = note.condition or "Nothing is noted. Write it here before it goes:"
    return [
        *heading("What goes"),
        *p(note.goes, styles.BODY),
        *heading("What is to be done"),
        *p(note.work, styles.BODY),
        *heading("Its condition when it goes"),
        *p(condition, styles.BODY),
        *([] if note.condition else [WritingLines(("", ""), WIDTH)]),
        *(piece for caution in note.cautions for piece in p(caution, styles.CAUTION)),
        *p("Questions, or something else found on the way? Ask us before you go on.", styles.CAUTION),
    ]


def _signing(note: OutsideNote) -> list[Flowable]:
    columns = [
        [
            *heading("It went: received by"),
            *p(note.outworker.name, styles.BASIS),
            WritingLines(TO_SIGN, HALF),
        ],
        [
            *heading("It came back: received by"),
            *p(note.house.name, styles.BASIS),
            WritingLines(TO_SIGN, HALF),
        ],
    ]
    return [Together([Columns(columns, [HALF, HALF], gap=GAP)], before=14, at_foot=True)]
