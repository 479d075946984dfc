"""Which instruments a list, a label or a comparison is asked for: those ticked, else those of the filter."""

from django.http import QueryDict

from instruments.models import Instrument
from shop.forms.stock import StockForm
from shop.stock import stock_with_state


def ticked(asked: QueryDict) -> list[str]:
    """The stock numbers asked for, each once; what nobody can have typed in good faith is cut."""
    numbers = [number.strip()[:20].replace("\0", "") for number in asked.getlist("of")[:1000]]
    return list(dict.fromkeys(filter(None, numbers)))


def chosen_stock(asked: QueryDict, *, most: int) -> list[Instrument]:
    """At most one more than `most`, so that the asker can tell that there are too many."""
    if numbers := ticked(asked):
        found = stock_with_state().filter(stock_number__in=numbers).order_by("stock_number")
    else:
        found = StockForm(asked).found()
    return list(found.select_related("listing")[: most + 1])
