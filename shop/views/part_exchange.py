"""The owner's waiver for a part exchange."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from shop.actions.part_exchange import waive_untouched
from shop.forms.part_exchange import WaiverForm
from shop.untouched import untouched_problems
from shop.views.answers import answer_form, the_instrument


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
