"""How a delivery note is set out: one page for the mover, to be signed at the door."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.content import Fact
from instruments.documents.dates import day_in_words, weekday_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import (
    Gap,
    Rule,
    Together,
    WritingLines,
    condition_table,
    facts_grid,
    heading,
)
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.delivery_note import DeliveryNote
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties

GAP = 22
HALF = (WIDTH - GAP) / 2
TITLE = "Delivery note"
TO_SIGN = ("Signature", "Name in capitals", "Day and hour")
NO_CONDITION = "No condition report goes with it. Look it over together before you sign."
SEEN_AT_THE_DOOR = ("Seen at the door, and not written above",)
LET_IT_STAND = (
    "A piano is heavy: never lift it alone. Let it stand where it will live, away from a radiator and the "
    "sun, and let it settle before it is tuned."
)
TWO_COLUMNS_FROM = 6


def lay_out(note: DeliveryNote) -> bytes:
    imprint = Imprint(
        title=f"{TITLE} {note.number}",
        subject=f"{note.instrument}. {note.reference}.",
        shop_name=note.shop.name,
        number=note.number,
        dated=note.dated,
        content_hash=in_fours(content_hash(note)),
        running_head=f"{TITLE} {note.number}",
    )
    return print_sheet([*_head(note), *_way(note), *_condition(note), *_signing(note)], imprint)


def _head(note: DeliveryNote) -> list[Flowable]:
    return [
        *letterhead(note.shop, f"{TITLE} {note.number}\n{day_in_words(note.dated)}"),
        *p(TITLE, styles.TITLE, kind="H1"),
        *p(f"{note.instrument}. {note.reference}.", styles.SENTENCE),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(note.shop, note.customer),
        *heading("The instrument"),
        *facts_grid(note.facts),
    ]


def _way(note: DeliveryNote) -> list[Flowable]:
    facts = (
        Fact("Where it goes", "\n".join(note.address.splitlines())),
        Fact("Day agreed", weekday_in_words(note.planned_on) if note.planned_on else ""),
        Fact("Who moves it", note.mover),
        Fact("The way in", note.access),
        Fact("Handed over on", weekday_in_words(note.handed_over_on) if note.handed_over_on else ""),
        Fact("Received by", note.received_by),
        Fact("Set up on", day_in_words(note.set_up_on) if note.set_up_on else ""),
        Fact("The air of the room", note.climate),
    )
    shown = tuple(fact for fact in facts if fact.value)
    return [*heading("The way"), *facts_grid(shown, across=2), *p(note.note, styles.BODY)]


def _condition(note: DeliveryNote) -> list[Flowable]:
    if not note.condition:
        return [*heading("As it leaves us"), *p(note.condition_words or NO_CONDITION, styles.BODY)]
    lines, middle = note.condition, (len(note.condition) + 1) // 2
    if len(lines) < TWO_COLUMNS_FROM:
        table = condition_table(lines)
    else:
        halves = [condition_table(half, width=HALF) for half in (lines[:middle], lines[middle:])]
        table = [Columns(halves, [HALF, HALF], gap=GAP)]
    return [*heading("As it leaves us"), *p(note.condition_words, styles.BASIS), *table]


def _signing(note: DeliveryNote) -> list[Flowable]:
    columns = [
        [*p(name, styles.LEAD_IN), WritingLines(TO_SIGN, HALF)]
        for name in (note.mover or f"For {note.shop.name}", f"Received: {note.customer.name}")
    ]
    block = [
        Rule(before=0, after=5),
        *p(LET_IT_STAND, styles.CAUTION),
        WritingLines(SEEN_AT_THE_DOOR, WIDTH),
        Columns(columns, [HALF, HALF], gap=GAP, space_before=6),
        Gap(4),
    ]
    return [Together(block, before=10, at_foot=True)]
