"""The right to cancel with its form, and the delivery note, as they were printed."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect
from django.views.decorators.http import require_GET

from instruments.problems import Refused
from shop.actions.sale_papers import issue_cancelling, issue_delivery_note
from shop.views.answers import today
from shop.views.papers import kept_paper_answer
from shop.views.sale_course import the_sale_with_its_trial


@require_GET
@permission_required("shop.sell", raise_exception=True)
def sale_cancelling(request, number):
    sale = the_sale_with_its_trial(number)
    try:
        paper = issue_cancelling(sale=sale, by=request.user)
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect(sale)
    return kept_paper_answer(paper, f"right-to-cancel-{number}.pdf")


@require_GET
@permission_required("shop.sell", raise_exception=True)
def sale_delivery_note(request, number):
    sale = the_sale_with_its_trial(number)
    try:
        paper = issue_delivery_note(sale=sale, by=request.user, on=today())
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect(sale)
    return kept_paper_answer(paper, f"delivery-note-{paper.number}.pdf")
