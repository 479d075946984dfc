"""A statement of account as plain data."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import MoneyLine, Party


@dataclass(frozen=True)
class StatementPaper:
    dated: date
    shop: Party
    customer: Party
    steps: tuple[tuple[str, str, str, str], ...]  # day, what, sum, what stands after it
    sums: tuple[MoneyLine, ...]
    stands: str = ""  # what the last figure of the column means
    bought: tuple[MoneyLine, ...] = ()


def build_statement(statement: StatementPaper) -> bytes:
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.statement_layout import lay_out

    return lay_out(statement)
