"""The right to cancel with its form, and the delivery note, as they were printed."""

from django.contrib.auth.decorators import permission_required
from django.views.decorators.http import require_http_methods

from shop.actions.sale_papers import (
    issue_cancelling,
    issue_delivery_note,
    kept_cancelling,
    kept_delivery_note,
)
from shop.views.answers import today
from shop.views.papers import printed_answer
from shop.views.sale_course import the_sale_with_its_trial


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_cancelling(request, number):
    sale = the_sale_with_its_trial(number)
    return printed_answer(
        request,
        f"right-to-cancel-{number}.pdf",
        kept=kept_cancelling(sale),
        keep=lambda: issue_cancelling(sale=sale, by=request.user),
        refused_to=sale,
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_delivery_note(request, number):
    sale = the_sale_with_its_trial(number)
    kept = kept_delivery_note(sale)
    return printed_answer(
        request,
        f"delivery-note-{kept.number if kept else number}.pdf",
        kept=kept,
        keep=lambda: issue_delivery_note(sale=sale, by=request.user, on=today()),
        refused_to=sale,
    )
