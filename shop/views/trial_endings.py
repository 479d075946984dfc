"""The three endings of a home trial: keep, exchange, return. What one comes to is shown before it is done."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from instruments.problems import Refused
from shop.actions.ledger import credit_of, still_to_pay, value_in
from shop.actions.trials import credit_for, exchange_trial, keep_trial, return_trial
from shop.endings import exchange_lines, return_lines
from shop.forms import ExchangeForm, KeepForm, ReturnForm
from shop.offering import instruments_to_offer
from shop.protected_problems import protected_material_problems
from shop.states import TrialState
from shop.trial_reports import reports_of_trial
from shop.views.answers import answer_form, today
from shop.views.trials import the_trial
from workorders.currency import in_words

SHOW = "show"  # the button that reckons and does nothing else


def _ending(request, trial, form, *, act, template, lines=None, problems=()):
    if request.method == "GET" and trial.state != TrialState.OUT:
        messages.info(request, f"{trial.number} is not out, and so it cannot be ended.")
        return redirect(trial)
    if SHOW not in request.POST and (answer := answer_form(request, form, act)):
        return answer
    context = {"trial": trial, "form": form, "lines": _reckoned(form, lines) if lines else []}
    context |= {"reports": reports_of_trial(trial), "problems": problems}
    if request.htmx and SHOW in request.POST:
        return render(request, "shop/includes/comes_to.html", context)
    if trial.promise:
        context |= {
            "paid_minor": value_in(trial.promise),
            "counts_minor": credit_for(trial),
            "still_to_pay_minor": still_to_pay(trial.promise),
            "credit_minor": credit_of(trial.person),
        }
    return render(request, template, context)


def _reckoned(form, lines):
    """The lines as far as what the form holds can be reckoned with; why not is said on the form."""
    try:
        return lines(_held_by(form))
    except Refused as refused:
        if not form.non_field_errors():  # or the act has said it already
            form.add_error(None, refused.sentences)
        return []


def _held_by(form) -> dict:
    """What has been given and is right so far, or what the form begins with."""
    if not form.is_bound:
        return {name: form.get_initial_for_field(field, name) for name, field in form.fields.items()}
    form.is_valid()
    return form.cleaned_data


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

    def lines(data) -> list:
        other, price = data.get("other"), data.get("other_price_minor")
        ready = other and price and trial.state == TrialState.OUT
        return exchange_lines(trial, other, price) if ready else []

    problems = protected_material_problems(trial.instrument, act="exchanging")
    template = "shop/trial_exchange.html"
    return _ending(request, trial, form, act=act, lines=lines, template=template, problems=problems)


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

    def lines(data) -> list:
        ready = {"deduction_minor", "give_back"} <= set(data) and trial.state == TrialState.OUT
        return return_lines(trial, data["deduction_minor"] or 0, data["give_back"]) if ready else []

    return _ending(request, trial, form, act=act, lines=lines, template="shop/trial_return.html")
