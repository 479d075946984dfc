"""Where the money stands: what stock cost, what it should bring, what is owed either way."""

from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.books import owed_to_customers, owed_to_us, stock_at_cost
from shop.costs import true_costs
from shop.owners import owed_to_owners
from shop.views.answers import today


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def books(request):
    page = Paginator(stock_at_cost(), 50).get_page(request.GET.get("page"))
    costs = true_costs(page.object_list, on=today())
    context = {"page": page, "rows": [(each, costs[each.pk]) for each in page]}
    context |= {"to_owners": owed_to_owners(), "today": today()}
    if request.user.has_perm("shop.sell"):
        context |= {"in_credit": owed_to_customers(), "to_pay": owed_to_us()}
    return render(request, "shop/books.html", context)
