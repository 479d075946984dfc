"""How a statement of account is set out: the steps in one column of sums, then what stands open."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Rule, Together, heading, money_column, table_row
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.tags import Element
from instruments.documents.text import p
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties
from shop.documents.statement import StatementPaper

WIDTHS = [62, WIDTH - 62 - 2 * 78 - 3 * 8, 78, 78]
HEADS = ("Day", "What", "Sum", "Stands at")
CLOSING = (
    "A sum without a sign was brought by you or is yours; with a minus it was charged or given back. "
    "Where no sum stands, value that is yours moved from one instrument to another. What is paid for "
    "delivery or for work is apart from this account."
)

BOUGHT = (
    "Paid or allowed when it was bought, and apart from the account; what was allowed in part exchange "
    "stands there too, toward its price."
)


def lay_out(statement: StatementPaper) -> bytes:
    imprint = Imprint(
        title=f"Statement of account, {statement.customer.name}",
        subject="What was paid, moved and charged, and what is still open",
        shop_name=statement.shop.name,
        number="Statement",
        dated=statement.dated,
        content_hash=in_fours(content_hash(statement)),
        running_head=f"Statement of account, {statement.customer.name}",
    )
    return print_sheet([*_head(statement), *_steps(statement), *_sums(statement)], imprint)


def _head(statement: StatementPaper) -> list[Flowable]:
    return [
        *letterhead(statement.shop, f"Statement\n{day_in_words(statement.dated)}"),
        *p("Statement of account", styles.TITLE, kind="H1"),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(statement.shop, statement.customer),
    ]


def _steps(statement: StatementPaper) -> list[Flowable]:
    if not statement.steps:
        return p("No money has moved.", styles.BODY)
    table = Element("Table")
    rows: list[Flowable] = [
        *heading("Step by step"),
        _row(table, HEADS, styles.LABEL, kind="TH"),
    ]
    for step in statement.steps:
        rows += [Rule(weight=0.35, before=0.5, after=0.5), _row(table, step, styles.DATA)]
    return [*rows, Rule(weight=0.35, before=0.5, after=4), *p(statement.stands, styles.DATA_STRONG)]


def _row(table: Element, cells: tuple[str, ...], style, kind: str = "TD") -> Columns:
    words = [p(cell, style) for cell in cells[:2]]
    sums = [p(cell, styles.AMOUNT if kind == "TD" else styles.AMOUNT_LABEL) for cell in cells[2:]]
    return table_row(table, [*words, *sums], WIDTHS, kind=kind)


def _sums(statement: StatementPaper) -> list[Flowable]:
    column = money_column(statement.sums, width=WIDTH * 0.75)
    return [
        Together([*heading("What is open between us"), *column], before=8, after=6),
        *p(CLOSING, styles.CAUTION),
        *_bought(statement),
    ]


def _bought(statement: StatementPaper) -> list[Flowable]:
    if not statement.bought:
        return []
    column = money_column(statement.bought, width=WIDTH * 0.75)
    return [
        Together([*heading("What we bought of you"), *column], before=8, after=6),
        *p(BOUGHT, styles.CAUTION),
    ]
