"""Paper for the showroom: the card on one instrument, labels for any, the stock on a few sheets."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_GET

from shop.actions.window_papers import window_card_of
from shop.addresses import listing_address
from shop.models import Listing
from shop.problems import listing_problems
from shop.views.answers import today
from shop.views.papers import pdf_answer


@require_GET
@permission_required("shop.sell", raise_exception=True)
def window_card(request, stock_number):
    """The A5 card as it would print today; refused, as the sale sheet is, while anything blocks offering."""
    listing = get_object_or_404(
        Listing.objects.select_related("instrument"), instrument__stock_number=stock_number
    )
    if any(problem.is_blocker for problem in listing_problems(listing.instrument)):
        messages.error(request, "No card is printed while something blocks offering it.")
        return redirect("shop:listing_edit", stock_number)
    address = listing_address(listing, request)
    pdf = window_card_of(listing, address=address, on=today())
    return pdf_answer(pdf, f"{stock_number}-window-card.pdf")
