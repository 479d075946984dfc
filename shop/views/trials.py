from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from instruments.views.once import answered_before
from shop.actions.agreements import keep_agreement, terms_of, trial_agreement_of
from shop.actions.ledger import credit_of, still_to_pay, value_in
from shop.actions.papers import stored_paper
from shop.actions.people import add_person
from shop.actions.trials import credit_for, draft_trial, revise_trial, start_trial
from shop.commissions import commissions_of, standings_of
from shop.forms import StartTrialForm, TrialForm
from shop.models import ShopProfile, Trial
from shop.problems import trial_problems
from shop.states import TrialState
from shop.trial_days import days_of
from shop.trial_reports import reports_of_trial
from shop.views.answers import act_once, answer_form, the_instrument, today
from shop.views.papers import kept_paper_answer, pdf_answer


def the_trial(number: str) -> Trial:
    return get_object_or_404(
        Trial.objects.select_related("instrument", "person", "promise", "terms"), number=number
    )


@require_GET
@permission_required("shop.sell", raise_exception=True)
def trials(request):
    state = request.GET.get("state", "")
    rows = Trial.objects.select_related("instrument", "person")
    if state in TrialState.values:
        rows = rows.filter(state=state)
    page = Paginator(rows, 50).get_page(request.GET.get("page"))
    context = {"page": page, "state": state, "states": TrialState.choices, "today": today()}
    return render(request, "shop/trials.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_draft(request, stock_number):
    instrument = the_instrument(stock_number)
    form = TrialForm(request.POST or None, initial=_usual_terms(instrument))

    def act() -> str:
        person = form.cleaned_data["person"] or add_person(by=request.user, **form.person_card())
        trial = draft_trial(instrument=instrument, person=person, by=request.user, on=today(), **form.terms())
        return trial.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": instrument, "problems": trial_problems(instrument)}
    return render(request, "shop/trial_form.html", context)


def _usual_terms(instrument) -> dict:
    profile, price = ShopProfile.current(), instrument.asking_prices.first()
    amount = price.amount_minor if price else None
    return {
        "price_minor": amount,
        "pay_now_minor": amount,
        "credit_percent": profile.credit_percent,
        "starts_on": today(),
        "ends_on": today() + timedelta(days=profile.trial_days),
    }


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_revise(request, number):
    trial = the_trial(number)
    names = ("person", "price_minor", "pay_now_minor", "delivery_minor", "credit_percent", "starts_on")
    rest = ("ends_on", "address", "agreed_where", "delivery_note", "special_terms")
    form = TrialForm(request.POST or None, initial={name: getattr(trial, name) for name in names + rest})

    def act() -> str:
        person = form.cleaned_data["person"] or add_person(by=request.user, **form.person_card())
        revise_trial(trial=trial, by=request.user, person=person, **form.terms())
        return trial.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(
        request, "shop/trial_form.html", {"form": form, "instrument": trial.instrument, "trial": trial}
    )


@require_GET
@permission_required("shop.sell", raise_exception=True)
def trial_page(request, number):
    trial = the_trial(number)
    started = trial.promise is not None
    context = {
        "trial": trial,
        "problems": trial_problems(trial.instrument) if trial.state == TrialState.DRAFT else [],
        "paid_minor": value_in(trial.promise) if started else 0,
        "payments": trial.promise.payments.all() if started else [],
        "counts_minor": credit_for(trial) if trial.state == TrialState.OUT else None,
        "still_to_pay_minor": still_to_pay(trial.promise) if trial.state == TrialState.OUT else None,
        "credit_minor": credit_of(trial.person),
        "sale": getattr(trial, "sale", None),
        "standings": standings_of(commissions_of(trial.promise)) if started else [],
        "paper": trial.papers.first(),
        "days": days_of(trial),
        "is_overdue": trial.state == TrialState.OUT and trial.ends_on < today(),
        "start_form": StartTrialForm(),
        "reports": reports_of_trial(trial),
    }
    context["sale_still_to_pay_minor"] = still_to_pay(context["sale"].promise) if context["sale"] else None
    context["is_blocked"] = any(problem.is_blocker for problem in context["problems"])
    return render(request, "shop/trial_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_start(request, number):
    trial = the_trial(number)
    form = StartTrialForm(request.POST or None)

    def act() -> str:
        started = start_trial(trial=trial, by=request.user, on=today(), **form.cleaned_data)
        keep_agreement(trial=started, stored=stored, terms=terms, by=request.user)
        messages.success(
            request, f"{started.instrument.maker_name} is out on home trial. Print the agreement."
        )
        return started.get_absolute_url()

    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid():
            # Printed and put away before the transaction: nobody waits for a PDF while the database is held.
            terms, pdf = terms_of(trial), trial_agreement_of(trial, on=today(), is_draft=False)
            with stored_paper(trial.number, pdf) as stored:
                if answer := act_once(request, form, act):
                    return answer
    problems = trial_problems(trial.instrument) if trial.state == TrialState.DRAFT else []
    context = {"form": form, "trial": trial, "problems": problems, "reports": reports_of_trial(trial)}
    context["due_minor"] = trial.pay_now_minor + trial.delivery_minor
    return render(request, "shop/trial_start.html", context)


@require_GET
@permission_required("shop.sell", raise_exception=True)
def trial_agreement(request, number):
    """The kept paper, byte for byte, once the trial has started; before that, a draft that says so."""
    trial = the_trial(number)
    paper = trial.papers.first()
    if paper:
        return kept_paper_answer(paper, f"{number}-agreement.pdf")
    return pdf_answer(trial_agreement_of(trial, on=today(), is_draft=True), f"{number}-draft.pdf")
