"""How the quote for work is set out: the wishes and their prices, the terms, and where to say yes."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.columns import Columns, Newspaper
from instruments.documents.content import MoneyLine
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import (
    Gap,
    Rule,
    TickBox,
    Together,
    WritingLines,
    bulleted,
    facts_grid,
    heading,
    money_column,
    numbered_clauses,
)
from instruments.documents.sheet import FIRST_PAGE_HEIGHT, WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents import work_quote_words as words
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties
from shop.documents.work_quote import WishLine, WorkQuote

GAP = 22
HALF = (WIDTH - GAP) / 2
TICK = 18
TO_SIGN = ("Signature", "Name in capitals", "Date")


def lay_out(quote: WorkQuote) -> bytes:
    imprint = Imprint(
        title=f"Quote {quote.number}, version {quote.version}",
        subject=words.opening_sentence(quote),
        shop_name=quote.shop.name,
        number=f"{quote.number}, version {quote.version}",
        dated=quote.issued_on,
        content_hash=in_fours(content_hash(quote)),
        running_head=f"Quote {quote.number}, version {quote.version}",
    )
    pieces, approval = [*_head(quote), *_wishes(quote), *_terms(quote)], _approval(quote)
    whole = pour.height_of([*pieces, Together(approval, before=10)], WIDTH) <= FIRST_PAGE_HEIGHT
    return print_sheet([*pieces, Together(approval, before=10, at_foot=whole)], imprint)


def _head(quote: WorkQuote) -> list[Flowable]:
    reference = f"Quote {quote.number}, version {quote.version}\n{day_in_words(quote.issued_on)}"
    return [
        *letterhead(quote.shop, reference),
        *p("Quote for work", styles.TITLE, kind="H1"),
        *p(words.opening_sentence(quote), styles.SENTENCE),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(quote.shop, quote.customer),
        *heading("The instrument"),
        *facts_grid(quote.facts),
    ]


def _wishes(quote: WorkQuote) -> list[Flowable]:
    lines = [MoneyLine(_line_words(wish), wish.amount, _line_note(wish)) for wish in quote.wishes]
    lines.append(MoneyLine("In all, with tax", quote.total, strong=True))
    if quote.deposit:
        lines.append(MoneyLine("Deposit, due with your yes", quote.deposit))
    if quote.paid:
        lines.append(MoneyLine("Paid so far", quote.paid))
    changed = bulleted([p(each, styles.DATA) for each in quote.changed], width=WIDTH)
    return [
        *heading("What you wish, and what it costs"),
        *money_column(tuple(lines), amount_width=84),
        *(heading("What is new in this version") if changed else []),
        *changed,
        *p(quote.note, styles.BODY),
    ]


def _line_words(wish: WishLine) -> str:
    return f"{wish.words}: {words.FINAL_WORDS}" if wish.is_irreversible else wish.words


def _line_note(wish: WishLine) -> str:
    return " ".join(each for each in (wish.note, wish.caution) if each)


def _terms(quote: WorkQuote) -> list[Flowable]:
    setting = (styles.SMALL_CLAUSE_HEADING, styles.SMALL_TERMS)
    clauses = numbered_clauses(words.clauses(quote), width=HALF, setting=setting)
    return [*heading("Terms"), Newspaper(clauses, WIDTH, gap=GAP)]


def _approval(quote: WorkQuote) -> list[Flowable]:
    """Signed, this is the written approval; each line that is final asks for a tick of its own."""
    final = [wish for wish in quote.wishes if wish.is_irreversible]
    ticks = [piece for wish in final for piece in _tick(wish)]
    yes = (
        f"I have read version {quote.version} of {quote.number} and ask for the work above at "
        f"{quote.total} in all, on these terms."
    )
    return [
        Rule(before=0, after=5),
        *heading("My approval"),
        *p(yes, styles.BODY),
        *(p(words.FINAL_ASKS, styles.DATA_STRONG) if ticks else []),
        *ticks,
        Columns(
            [
                [*p(quote.customer.name, styles.LEAD_IN), WritingLines(TO_SIGN, HALF)],
                [*p(f"For {quote.shop.name}", styles.LEAD_IN), WritingLines(TO_SIGN, HALF)],
            ],
            [HALF, HALF],
            gap=GAP,
            space_before=6,
        ),
        Gap(8),
        *p(words.CAUTION, styles.CAUTION),
    ]


def _tick(wish: WishLine) -> list[Flowable]:
    told = f"“{wish.words}” cannot be undone, and I want it all the same. {wish.caution}".strip()
    return [Columns([[TickBox()], p(told, styles.DATA)], [TICK, WIDTH - TICK], gap=0, space_after=3)]
