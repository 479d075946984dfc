"""Fees taken while a home trial runs, and deductions agreed line by line."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from shop.actions.deductions import agree_deduction, take_back_deduction
from shop.actions.ledger import take_fee
from shop.forms import DeductionForm, FeeForm, TakeBackForm
from shop.models import Deduction
from shop.states import TrialState
from shop.trial_money import money_of
from shop.views.answers import answer_form, today
from shop.views.trials import the_trial
from workorders.currency import in_words

DEDUCTION_LEDE = (
    "Only a real loss that they agree to, each thing on a line of its own. It is taken off when the trial "
    "ends. Ordinary wear costs them nothing. Check what the law lets you keep; this is not legal advice."
)
FEE_LEDE = (
    "Apart from the price, and a fee in the books. A charge for hire can make a loan regulated hire: check "
    "the law in force and take advice."
)


def _on_trial(request, trial, form, *, act, **context):
    if request.method == "GET" and trial.state != TrialState.OUT:
        messages.info(request, f"{trial.number} is not out.")
        return redirect(trial)
    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/trial_money_form.html", {"trial": trial, "form": form, **context})


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_fee(request, number):
    trial = the_trial(number)
    form = FeeForm(request.POST or None)

    def act() -> str:
        payment = take_fee(promise=trial.promise, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Received: {in_words(payment.amount_minor)}, a fee.")
        return trial.get_absolute_url()

    words = dict(money_of(trial, on=today())["credit_lines"])["Beside the price"]
    lede = f"{words} {FEE_LEDE}"
    return _on_trial(request, trial, form, act=act, heading="A fee", lede=lede, save="Take the fee")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_deduct(request, number):
    trial = the_trial(number)
    form = DeductionForm(request.POST or None, initial={"agreed_on": today()})

    def act() -> str:
        line = agree_deduction(trial=trial, line=form.line, by=request.user, on=today())
        messages.success(request, f"{in_words(line.amount_minor)} will be deducted when the trial ends.")
        return trial.get_absolute_url()

    context = {"heading": "Agree a deduction", "lede": DEDUCTION_LEDE, "save": "Write it down"}
    context |= {"deductions": money_of(trial, on=today())["deductions"]}
    return _on_trial(request, trial, form, act=act, **context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_deduction_back(request, number, pk):
    trial = the_trial(number)
    deduction = get_object_or_404(Deduction, pk=pk, promise=trial.promise_id)
    form = TakeBackForm(request.POST or None)

    def act() -> str:
        take_back_deduction(deduction=deduction, why=form.cleaned_data["why"], by=request.user, on=today())
        messages.success(request, "Taken back. Both rows stay in the record.")
        return trial.get_absolute_url()

    context = {"heading": "Take a deduction back", "save": "Take it back"}
    context |= {"lede": f"{deduction}, {in_words(deduction.amount_minor)}."}
    return _on_trial(request, trial, form, act=act, **context)
