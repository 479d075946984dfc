"""How the file on protected materials is set out: what was found, how much, the papers, act by act."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.content import Fact
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Rule, facts_grid, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.tables import plain_table
from instruments.documents.text import p
from shop.documents.letterhead import letterhead
from shop.documents.protected_sheet import ActLine, ProtectedSheet

TITLE = "Protected materials"
WIDTHS = (WIDTH * 0.2, WIDTH * 0.11, WIDTH * 0.69)
HEADINGS = ("Act", "", "Why")


def lay_out(sheet: ProtectedSheet) -> bytes:
    name = f"{TITLE} of {sheet.maker}, stock {sheet.stock_number}"
    imprint = Imprint(
        title=name,
        subject=f"{sheet.sentence} {TITLE}",
        shop_name=sheet.shop.name,
        number=f"Stock {sheet.stock_number}",
        dated=sheet.printed_on,
        content_hash=in_fours(content_hash(sheet)),
        running_head=f"{name}, continued",
    )
    return print_sheet(_set_out(sheet), imprint)


def _set_out(sheet: ProtectedSheet) -> list[Flowable]:
    reference = f"{TITLE}\nStock number {sheet.stock_number}\n{day_in_words(sheet.printed_on)}"
    serial = f"Serial {sheet.serial}" if sheet.serial else "No serial number is recorded"
    return [
        *letterhead(sheet.shop, reference),
        *p(f"{TITLE}: {sheet.maker}", styles.TITLE, kind="H1"),
        *p(f"{sheet.sentence} {serial}.", styles.SENTENCE),
        Rule(colour=styles.INK, before=6, after=2),
        *_facts("What was found", sheet.found),
        *_facts("How much ivory there is", sheet.amounts, across=2),
        *_facts("Papers", sheet.papers),
        *heading(f"What may be done, by the law of: {sheet.law}", styles.TIGHT),
        *p(sheet.caution, styles.CAUTION),
        *plain_table(HEADINGS, [_act(line) for line in sheet.acts], WIDTHS),
    ]


def _facts(title: str, facts: tuple[Fact, ...], across: int = 4) -> list[Flowable]:
    if not facts:
        return []
    return [*heading(title, styles.TIGHT), *facts_grid(facts, across=across)]


def _act(line: ActLine) -> list[list[Flowable]]:
    return [
        p(line.act, styles.DATA),
        p(line.verdict, styles.DATA if line.level == "free" else styles.DATA_STRONG),
        [*p(line.why, styles.DATA), *p(line.source, styles.BASIS)],
    ]
