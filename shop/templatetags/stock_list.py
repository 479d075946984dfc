"""Parts of the stock list that are drawn once for the same words, and kept: drawing is most of the work.

What is kept is found again by everything that is drawn from, so it cannot grow stale.
"""

from functools import lru_cache

from django import template
from django.http import QueryDict
from django.template.loader import render_to_string
from django.utils.html import format_html_join
from django.utils.safestring import SafeString

from shop.forms.stock import StockForm
from shop.stock_rows import StockRow

register = template.Library()


@register.simple_tag
def stock_rows(rows: list[StockRow]) -> SafeString:
    return format_html_join("", "{}", ((_row(row),) for row in rows))


@lru_cache(maxsize=2_000)
def _row(row: StockRow) -> SafeString:
    return render_to_string("shop/includes/stock_row.html", {"row": row})


@register.simple_tag
def stock_filters(form: StockForm) -> SafeString:
    return _filters(form.asked)


@lru_cache(maxsize=100)
def _filters(asked: str) -> SafeString:
    return render_to_string("shop/includes/stock_filters.html", {"form": StockForm(QueryDict(asked))})
