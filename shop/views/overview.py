"""The stock list on paper: for visitors, or for those who work here."""

from django.contrib import messages
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_GET

from shop.actions.overview_papers import overview_of
from shop.chosen import chosen_stock
from shop.views.answers import today
from shop.views.papers import pdf_answer

MOST_ENTRIES = 120


@require_GET
def stock_overview(request):
    """Those ticked, else the list as it is filtered; costs for those who may see them, only when asked."""
    is_ours = request.GET.get("for") == "us"
    chosen = chosen_stock(request.GET, most=MOST_ENTRIES)
    refusal = (
        f"{MOST_ENTRIES} instruments go into one overview. Narrow the list down."
        if len(chosen) > MOST_ENTRIES
        else ""
    )
    if not is_ours:
        chosen = [each for each in chosen if each.is_in_window]
    if not refusal and not chosen:
        refusal = (
            "Nothing of that list is there to print." if is_ours else "Nothing of that list is in the window."
        )
    if refusal:
        messages.error(request, refusal)
        return redirect(f"{reverse('stock')}?{request.GET.urlencode()[:1500]}")
    with_costs = "costs" in request.GET and request.user.has_perm("shop.see_costs")
    pdf = overview_of(chosen, on=today(), is_ours=is_ours, with_costs=with_costs)
    return pdf_answer(pdf, "stock-overview.pdf")
