"""Where the money stands: what is owed either way, what stock cost and what it should bring."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_GET

from instruments.models import Instrument
from instruments.models.together import together
from shop.books import held_for_customers, owed_to_us, stock_at_cost, we_owe, we_owe_sellers
from shop.costs import true_costs
from shop.pages import MOST_COUNTED, page_of_keys
from shop.views.answers import today


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def books(request):
    on, stock = today(), _at_cost(request.GET.get("page"), today())
    if not request.user.has_perm("shop.sell"):
        stock, owed = together(stock, we_owe_sellers.later(on))
        return render(request, "shop/books.html", stock | {"we_owe": owed})
    stock, theirs, ours, held = together(
        stock, owed_to_us.later(on), we_owe.later(on), held_for_customers.later()
    )
    sides = {"they_owe": theirs, "we_owe": ours, "held_count": held[0], "held_minor": held[1]}
    return render(request, "shop/books.html", stock | sides)


def _at_cost(asked: str | None, on):
    """One page of the stock, each with its cost."""
    (keys,) = yield (stock_at_cost().values_list("pk", flat=True)[: MOST_COUNTED + 1],)
    page = page_of_keys(list(keys), asked, size=25)
    (found,) = yield (Instrument.objects.filter(pk__in=page.object_list),)
    costs = yield from true_costs.later(found, on=on)
    found = {each.pk: each for each in found}
    return {"page": page, "rows": [(found[key], costs[key]) for key in page.object_list if key in found]}
