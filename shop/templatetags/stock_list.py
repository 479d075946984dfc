"""Parts of the stock list that are drawn once for the same words, and kept: drawing is most of the work.

What is kept is found again by everything that is drawn from, so it cannot grow stale.
"""

from functools import lru_cache
from types import SimpleNamespace

from django import template
from django.http import QueryDict
from django.template import Context
from django.template.loader import get_template, render_to_string
from django.utils.html import format_html_join
from django.utils.safestring import SafeString

from shop.forms.stock import StockForm, stock_form
from shop.pages import page_of_keys
from shop.stock_rows import StockRow

register = template.Library()


@register.simple_tag(takes_context=True)
def stock_actions(context) -> SafeString:
    perms = context["perms"]
    return _actions("instruments.log_instrument" in perms, "shop.sell" in perms)


@lru_cache(maxsize=4)
def _actions(may_log: bool, may_sell: bool) -> SafeString:
    return render_to_string("shop/includes/stock_actions.html", {"may_log": may_log, "may_sell": may_sell})


@register.simple_tag(takes_context=True)
def stock_results(context) -> SafeString:
    form, page, perms = context["form"], context["page"], context["perms"]
    return _results(
        context["request"].GET.urlencode(),
        form.asked,
        page.paginator.count,
        page.number,
        page.paginator.per_page,
        tuple(context["rows"]),
        "instruments.log_instrument" in perms,
        "shop.see_costs" in perms,
    )


@lru_cache(maxsize=40)  # each is some tens of kilobytes
def _results(
    address: str,
    asked: str,
    count: int,
    number: int,
    size: int,
    rows: tuple[StockRow, ...],
    may_log: bool,
    may_see_costs: bool,
) -> SafeString:
    request = SimpleNamespace(GET=QueryDict(address))
    context = Context(
        {
            "request": request,
            "form": stock_form(asked),
            "page": page_of_keys(range(count), number, size=size),
            "rows": rows,
            "perms": {"instruments": {"log_instrument": may_log}, "shop": {"see_costs": may_see_costs}},
        }
    )
    context.request = request  # as a page has it; the pager asks there
    return get_template("shop/includes/stock_results.html").template.render(context)


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
