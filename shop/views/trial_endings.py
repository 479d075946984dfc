"""The three endings of a home trial: keep, exchange, return. What one comes to is shown before it is done."""

from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from instruments.problems import Refused
from shop.actions.ledger import credit_of, still_to_pay, value_in
from shop.actions.trials import draft_trial, exchange_trial, keep_trial, return_trial
from shop.endings import exchange_lines, return_lines
from shop.forms import ExchangeForm, KeepForm, ReturnForm
from shop.models import ShopProfile
from shop.offering import instruments_to_offer
from shop.protected_problems import protected_material_problems
from shop.states import TrialState
from shop.trial_money import money_of
from shop.trial_problems import comparison_problems
from shop.trial_reports import reports_of_trial
from shop.views.answers import answer_form, say_refused, today
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
            **money_of(trial, on=today()),
            "still_to_pay_minor": still_to_pay(trial.promise),
            "credit_minor": credit_of(trial.person),
        }
    return render(request, template, context)


def _reckoned(form, lines):
    """The lines as far as what the form holds can be reckoned with; why not is said on the form."""
    try:
        return lines(_held_by(form))
    except Refused as refused:
        if not any(str(refused) in said for said in form.errors.values()):  # the act may have said it
            say_refused(form, refused)
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
    to_compare = comparison_problems(trial)
    form = ExchangeForm(request.POST or None, instruments=others, to_compare=to_compare)

    def act() -> str:
        data = dict(form.cleaned_data)
        if data.pop("take") == "trial":
            return _draft_to_follow(request, trial, data)
        sale = exchange_trial(trial=trial, by=request.user, on=today(), **data)
        left, credit = still_to_pay(sale.promise), credit_of(sale.person)
        said = f"Exchanged. Still to pay: {in_words(left)}."
        messages.success(request, said + (f" Left in credit: {in_words(credit)}." if credit else ""))
        return sale.get_absolute_url()

    def lines(data) -> list:
        other, price = data.get("other"), data.get("other_price_minor")
        ready = other and price and trial.state == TrialState.OUT
        refunded = data.get("left_over") == "refund"
        return exchange_lines(trial, other, price, refunded=refunded, on=today()) if ready else []

    problems = [*to_compare, *protected_material_problems(trial.instrument, act="exchanging")]
    template = "shop/trial_exchange.html"
    return _ending(request, trial, form, act=act, lines=lines, template=template, problems=problems)


def _draft_to_follow(request, trial, data: dict) -> str:
    """A home trial of the other instrument, to be read and signed; this one ends when that one starts."""
    price = data["other_price_minor"]
    counts = credit_of(trial.person) + money_of(trial, on=today())["counts_minor"]
    following = draft_trial(
        instrument=data["other"],
        person=trial.person,
        price_minor=price,
        pay_now_minor=min(price, counts),
        starts_on=today(),
        ends_on=today() + timedelta(days=ShopProfile.current().trial_days),
        address=trial.address,
        agreed_where=trial.agreed_where,
        exchanged_from=trial,
        exception_note=data["exception"].strip(),
        by=request.user,
        on=today(),
    )
    said = f"{following.number} is drafted. {trial.number} ends by exchange when it starts."
    messages.success(request, said)
    return following.get_absolute_url()


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_return(request, number):
    trial = the_trial(number)
    to_compare = comparison_problems(trial)
    form = ReturnForm(request.POST or None, to_compare=to_compare)

    def act() -> str:
        names = {"give_back", "method", "note", "without_comparing"} & set(form.cleaned_data)
        data = {name: form.cleaned_data[name] for name in names}
        if deduction := form.deduction(on=today()):
            data["note"] = ""  # it stands with the line that it explains
        ended = return_trial(trial=trial, deduction=deduction, by=request.user, on=today(), **data)
        messages.success(request, f"{ended.number} has ended; the instrument is back in the workshop.")
        return ended.get_absolute_url()

    def lines(data) -> list:
        ready = {"deduction_minor", "give_back"} <= set(data) and trial.state == TrialState.OUT
        return (
            return_lines(trial, data["deduction_minor"] or 0, data["give_back"], on=today()) if ready else []
        )

    template = "shop/trial_return.html"
    return _ending(request, trial, form, act=act, lines=lines, template=template, problems=to_compare)
