"""Where the money stands: what is owed either way, what stock cost and what it should bring."""

from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.books import held_for_customers, owed_to_us, stock_at_cost, we_owe, we_owe_sellers
from shop.costs import true_costs
from shop.views.answers import today


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def books(request):
    page = Paginator(stock_at_cost(), 25).get_page(request.GET.get("page"))
    costs = true_costs(page.object_list, on=today())
    context = {"page": page, "rows": [(each, costs[each.pk]) for each in page]}
    context |= _owed(today()) if request.user.has_perm("shop.sell") else {"we_owe": we_owe_sellers(today())}
    return render(request, "shop/books.html", context)


def _owed(on) -> dict:
    held_count, held_minor = held_for_customers()
    held = {"held_count": held_count, "held_minor": held_minor}
    return {"they_owe": owed_to_us(on), "we_owe": we_owe(on)} | held
