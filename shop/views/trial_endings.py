"""The three endings of a home trial: keep, exchange, return."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from instruments.views.once import answered_before
from shop.actions.ledger import credit_of, still_to_pay, value_in
from shop.actions.trials import credit_for, exchange_trial, keep_trial, return_trial
from shop.forms import ExchangeForm, KeepForm, ReturnForm
from shop.offering import instruments_to_offer
from shop.views.answers import act_once, today
from shop.views.trials import the_trial
from workorders.currency import in_words


def _ending(request, trial, form, *, act, template):
    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid() and (answer := act_once(request, form, act)):
            return answer
    context = {"trial": trial, "form": form}
    if trial.promise:
        context |= {
            "paid_minor": value_in(trial.promise),
            "counts_minor": credit_for(trial),
            "still_to_pay_minor": still_to_pay(trial.promise),
            "credit_minor": credit_of(trial.person),
        }
    return render(request, template, context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_keep(request, number):
    trial = the_trial(number)
    form = KeepForm(request.POST or None)

    def act() -> str:
        sale = keep_trial(trial=trial, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Kept. Still to pay: {in_words(still_to_pay(sale.promise))}.")
        return sale.get_absolute_url()

    return _ending(request, trial, form, act=act, template="shop/trial_keep.html")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_exchange(request, number):
    trial = the_trial(number)
    others = instruments_to_offer().exclude(pk=trial.instrument_id)
    form = ExchangeForm(request.POST or None, instruments=others)

    def act() -> str:
        sale = exchange_trial(trial=trial, by=request.user, on=today(), **form.cleaned_data)
        left, credit = still_to_pay(sale.promise), credit_of(sale.person)
        said = f"Exchanged. Still to pay: {in_words(left)}."
        messages.success(request, said + (f" Left in credit: {in_words(credit)}." if credit else ""))
        return sale.get_absolute_url()

    return _ending(request, trial, form, act=act, template="shop/trial_exchange.html")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_return(request, number):
    trial = the_trial(number)
    form = ReturnForm(request.POST or None)

    def act() -> str:
        data = form.cleaned_data | {"deduction_minor": form.cleaned_data["deduction_minor"] or 0}
        ended = return_trial(trial=trial, by=request.user, on=today(), **data)
        messages.success(request, f"{ended.number} has ended; the instrument is back in the workshop.")
        return ended.get_absolute_url()

    return _ending(request, trial, form, act=act, template="shop/trial_return.html")
