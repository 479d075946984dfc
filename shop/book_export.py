"""The lines of the books as a table for an accountant's spreadsheet."""

from collections.abc import Iterable

from django.db.models import QuerySet

from shop.stock_export import major

COLUMNS = {
    "line": lambda line: line.number,
    "counts on": lambda line: line.entered_on,
    "date of the deal": lambda line: line.happened_on,
    "what": lambda line: line.get_kind_display(),
    "takes back line": lambda line: line.corrects.number if line.corrects else None,
    "stock number": lambda line: line.instrument.stock_number,
    "description": lambda line: line.description,
    "seller or buyer": lambda line: line.party,
    "address": lambda line: line.party_address,
    "invoice": lambda line: line.document,
    "purchase price": lambda line: major(line.paid_minor),
    "tax on the purchase invoice": lambda line: major(line.input_tax_minor),
    "selling price": lambda line: major(line.gross_minor),
    "purchase price of what was sold": lambda line: major(line.sold_cost_minor),
    "margin": lambda line: major(line.margin_minor),
    "taxed as": lambda line: line.get_treatment_display(),
    "rate %": lambda line: line.rate_percent,
    "tax due": lambda line: major(line.tax_minor),
    "selling price less tax": lambda line: major(line.net_minor),
    "note": lambda line: line.why,
}


def book_table(lines: QuerySet) -> tuple[list[str], Iterable[list]]:
    rows = lines.select_related("instrument", "corrects").order_by("number").iterator(chunk_size=500)
    return list(COLUMNS), ([cell(line) for cell in COLUMNS.values()] for line in rows)
