"""Whose piano is due for a tuning, and the service card that stays with it."""

from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.care_lists import MOST_SALES, SHOWN, shown_of, standings_in_care
from shop.documents.guarantee import build_service_card
from shop.models import CallBack
from shop.service_card import service_card_of
from shop.views.answers import the_instrument, today
from shop.views.papers import pdf_answer

A_PAGE = 40
MOST_CALL_BACKS = 60


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def after_care(request):
    asked = request.GET.get("show", "due")
    shown = asked if asked in SHOWN else "due"
    standings = standings_in_care(on=today())
    page = Paginator(shown_of(standings, shown), A_PAGE).get_page(request.GET.get("page"))
    call_backs = CallBack.objects.open().select_related("instrument", "person")
    context = {
        "page": page,
        "shown": shown,
        "lists": SHOWN.items(),
        "call_backs": call_backs.order_by("answer_by", "id")[:MOST_CALL_BACKS],
        "is_cut": len(standings) >= MOST_SALES,
        "most": MOST_SALES,
        "today": today(),
    }
    return render(request, "shop/after_care.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def service_card(request, stock_number):
    """The card for under the lid as it stands today, with rows for whoever comes next."""
    card = service_card_of(the_instrument(stock_number), on=today())
    return pdf_answer(build_service_card(card), f"service-card-{stock_number}.pdf")
