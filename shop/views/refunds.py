"""Money given back after the end: out of what was kept of a hold, a trial or a sale."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shop.actions.holds import give_back_later
from shop.actions.ledger import value_in
from shop.forms import GiveBackLaterForm
from shop.models import Promise
from shop.states import PromiseKind
from shop.views.answers import answer_form, today
from shop.views.sales import page_of
from workorders.currency import in_words


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def promise_give_back(request, pk):
    promises = Promise.objects.filter(closed_at__isnull=False)
    promise = get_object_or_404(promises.select_related("instrument", "person", "trial", "sale"), pk=pk)
    held = value_in(promise)
    form = GiveBackLaterForm(request.POST or None, initial={"amount_minor": held or None}, held_minor=held)
    is_hold = promise.kind == PromiseKind.HOLD
    back = reverse("shop:hold_page", args=[promise.pk]) if is_hold else page_of(promise)

    def act() -> str:
        paid = give_back_later(promise=promise, by=request.user, on=today(), **form.cleaned_data)
        receipt = paid.receipt.number
        messages.success(
            request, f"{in_words(-paid.amount_minor)} given back. Print its refund note, {receipt}."
        )
        return back

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "promise": promise, "held_minor": held, "back": back}
    return render(request, "shop/promise_give_back.html", context)
