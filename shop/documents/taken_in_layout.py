"""How the receipt for a customer's own instrument is set out, and the paper it goes home with."""

from reportlab.lib.units import mm
from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.content import DoneItem, Fact
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.gallery import gallery
from instruments.documents.pieces import (
    Gap,
    Rule,
    Together,
    WritingLines,
    bulleted,
    condition_table,
    facts_grid,
    heading,
)
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties
from shop.documents.taken_in_paper import TakenInPaper

GAP = 22
HALF = (WIDTH - GAP) / 2
TO_SIGN = ("Signature", "Name in capitals", "Date")
OWNERSHIP = (
    "It stays the customer’s own. It is not part of our stock; we do not lend, offer or sell it. Leave it "
    "insured as your own until you have our insurer’s word. What may be charged for goods that are not "
    "collected is a matter of local law; this is not legal advice."
)


def lay_out(paper: TakenInPaper) -> bytes:
    title = "Handed back" if paper.handed_back_on else "Taken in for work"
    imprint = Imprint(
        title=f"{title} {paper.number}",
        subject=_sentence(paper),
        shop_name=paper.shop.name,
        number=paper.number,
        dated=paper.dated,
        content_hash=in_fours(content_hash(paper)),
        running_head=f"{title} {paper.number}",
    )
    middle = _going_home(paper) if paper.handed_back_on else _coming_in(paper)
    return print_sheet([*_head(paper, title), *middle, *_signing(paper)], imprint)


def _sentence(paper: TakenInPaper) -> str:
    if paper.handed_back_on:
        return f"{paper.instrument}, handed back to {paper.handed_back_to} on {_day(paper.handed_back_on)}."
    return f"{paper.instrument}, the property of {paper.customer.name}, is with us for work."


def _day(day) -> str:
    return day_in_words(day) if day else "a day not recorded"


def _head(paper: TakenInPaper, title: str) -> list[Flowable]:
    return [
        *letterhead(paper.shop, f"{title} {paper.number}\n{day_in_words(paper.dated)}"),
        *p(title, styles.TITLE, kind="H1"),
        *p(_sentence(paper), styles.SENTENCE),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(paper.shop, paper.customer),
        *heading("The instrument"),
        *facts_grid(paper.facts),
    ]


def _coming_in(paper: TakenInPaper) -> list[Flowable]:
    days = (
        Fact("Taken in on", _day(paper.taken_in_on)),
        Fact("To be collected or brought back by", _day(paper.until)),
        Fact("Came with it", paper.accessories or "nothing beside it"),
    )
    return [
        *facts_grid(days, across=3),
        *heading("As it came"),
        *p(paper.condition, styles.BODY),
        *condition_table(paper.examined),
        *gallery(paper.photos, width=WIDTH, group=False, tallest_row=34 * mm),
        *_part("Keeping it here", p(paper.terms, styles.BODY)),
        *p(OWNERSHIP, styles.CAUTION),
    ]


def _going_home(paper: TakenInPaper) -> list[Flowable]:
    days = (
        Fact("Taken in on", _day(paper.taken_in_on)),
        Fact("Handed back on", _day(paper.handed_back_on)),
        Fact("Goes home with it", paper.accessories or "nothing beside it"),
    )
    done = bulleted([_done(item) for item in paper.done], width=WIDTH)
    return [
        *facts_grid(days, across=3),
        *heading("What was done and measured"),
        *(done or p("No work was done on it.", styles.BODY)),
        *_part(
            "What was left as it is", bulleted([p(each, styles.DATA) for each in paper.limits], width=WIDTH)
        ),
        *_part("At earlier visits", bulleted([p(each, styles.DATA) for each in paper.earlier], width=WIDTH)),
        *p(paper.handed_back_note, styles.BODY),
    ]


def _part(title: str, pieces: list[Flowable]) -> list[Flowable]:
    return [*heading(title), *pieces] if pieces else []


def _done(item: DoneItem) -> list[Flowable]:
    when = day_in_words(item.done_on) if item.done_on else ""
    basis = " \u00b7 ".join(each for each in (when, item.measured) if each)
    return [*p(item.text, styles.DATA), *p(basis, styles.BASIS)]


def _signing(paper: TakenInPaper) -> list[Flowable]:
    columns = [
        [*p(name, styles.LEAD_IN), WritingLines(TO_SIGN, HALF)]
        for name in (f"For {paper.shop.name}", paper.handed_back_to or paper.customer.name)
    ]
    block = [Rule(before=0, after=5), Columns(columns, [HALF, HALF], gap=GAP, space_before=4), Gap(4)]
    return [Together(block, before=10, at_foot=True)]
