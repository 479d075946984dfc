"""The day a buyer had what was sold, and the owner's waiver for a part exchange."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from shop.actions.part_exchange import hand_over, waive_untouched
from shop.forms.part_exchange import HandOverForm, WaiverForm
from shop.models import Sale
from shop.untouched import delivered_on, untouched_problems
from shop.views.answers import answer_form, the_instrument, today


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_hand_over(request, number):
    sale = get_object_or_404(Sale.objects.select_related("instrument", "from_trial"), number=number)
    form = HandOverForm(request.POST or None, initial={"handed_over_on": delivered_on(sale) or today()})

    def act() -> str:
        hand_over(sale=sale, by=request.user, **form.cleaned_data)
        messages.success(request, "Written down: the buyer’s days count from then.")
        return sale.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "instrument": sale.instrument,
        "heading": "Handed over",
        "lede": f"The day the buyer of {sale.number} had it. Their days to reject it are counted from then.",
    }
    return render(request, "shop/record_form.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def untouched_waive(request, stock_number):
    instrument = the_instrument(stock_number)
    form = WaiverForm(request.POST or None)

    def act() -> str:
        waive_untouched(instrument=instrument, by=request.user, **form.cleaned_data)
        messages.success(request, "Waived, with your reason.")
        return instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    problems = untouched_problems(instrument)
    context = {
        "form": form,
        "instrument": instrument,
        "problems": problems,
        "heading": "It need not stay as it came",
        "lede": "If the sale is rejected after all, a consumer must have the old piano back in its original "
        "state (in the UK: Consumer Rights Act 2015, s. 20(12)). Check the law in force; this is not "
        "legal advice.",
    }
    return render(request, "shop/record_form.html", context)
