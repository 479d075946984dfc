from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from instruments.documents.fingerprint import content_hash, in_fours
from instruments.problems import Refused
from instruments.scans import stored_scan
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from shop.actions.agreements import agreement_words, keep_agreement, terms_of, trial_agreement_of
from shop.actions.credit_terms import credit_terms_in_force
from shop.actions.ledger import credit_of, still_to_pay, value_in
from shop.actions.papers import stored_paper
from shop.actions.people import add_person
from shop.actions.signatures import keep_signed_paper, signed_agreement
from shop.actions.trials import draft_trial, revise_trial, start_trial
from shop.calc.signature import HEIGHT, WIDTH
from shop.commissions import commissions_of, standings_of
from shop.credit_problems import scale_cautions
from shop.documents.trial_agreement import build_trial_agreement
from shop.forms import SignedPaperForm, StartTrialForm, TrialForm
from shop.forms.credit_terms import as_initial
from shop.models import ShopProfile, Trial
from shop.problems import open_promise_of, trial_problems
from shop.states import PaperKind, TrialState
from shop.trial_days import days_of
from shop.trial_life import life_of_trial, reminders_of
from shop.trial_money import carried_over, money_of
from shop.trial_now import lines_ahead, lines_behind, what_now
from shop.trial_paper_lines import slip_lines
from shop.trial_problems import draft_problems, start_problems
from shop.trial_reports import reports_of_trial
from shop.views.answers import act_once, answer_form, the_instrument, today
from shop.views.papers import kept_paper_answer, pdf_answer


def the_trial(number: str) -> Trial:
    return get_object_or_404(
        Trial.objects.select_related("instrument", "person", "promise", "terms", "credit_terms"),
        number=number,
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
        messages.success(request, _drafted(trial))
        return trial.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "instrument": instrument,
        "problems": [*trial_problems(instrument), *scale_cautions(credit_terms_in_force().rule)],
        "promise": open_promise_of(instrument),
    }
    return render(request, "shop/trial_form.html", context)


def _drafted(trial: Trial) -> str:
    """What was drafted, and the one thing that is next."""
    days = f"{trial.starts_on:%-d %B} to {trial.ends_on:%-d %B %Y}"
    now = what_now(life_of_trial(trial, on=today()))
    comes_next = f" Next: {now.words[:1].lower()}{now.words[1:]}." if now else ""
    return (
        f"{trial.number} is drafted: {trial.instrument.maker_name} with {trial.person}, {days}. Nothing is "
        f"promised or paid until it starts.{comes_next}"
    )


def _usual_terms(instrument) -> dict:
    profile, price = ShopProfile.current(), instrument.asking_prices.first()
    amount = price.amount_minor if price else None
    return {
        "price_minor": amount,
        "pay_now_minor": amount,
        "starts_on": today(),
        "ends_on": today() + timedelta(days=profile.trial_days),
    } | as_initial(credit_terms_in_force().rule)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_revise(request, number):
    trial = the_trial(number)
    names = ("person", "price_minor", "pay_now_minor", "delivery_minor", "starts_on")
    rest = ("ends_on", "address", "agreed_where", "delivery_note", "special_terms")
    initial = {name: getattr(trial, name) for name in names + rest} | as_initial(trial.credit_terms.rule)
    initial["at_their_address"] = False
    form = TrialForm(request.POST or None, initial=initial)

    def act() -> str:
        person = form.cleaned_data["person"] or add_person(by=request.user, **form.person_card())
        revise_trial(trial=trial, by=request.user, on=today(), person=person, **form.terms())
        messages.success(request, f"The terms of {trial.number} are changed.")
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
        "problems": draft_problems(trial) if trial.state == TrialState.DRAFT else [],
        "promised": open_promise_of(trial.instrument) if trial.state == TrialState.DRAFT else None,
        "paid_minor": value_in(trial.promise) if started else 0,
        "payments": trial.promise.payments.select_related("receipt") if started else [],
        **money_of(trial, on=today()),
        "carried_over": carried_over(trial),
        "still_to_pay_minor": still_to_pay(trial.promise) if trial.state == TrialState.OUT else None,
        "credit_minor": credit_of(trial.person),
        "sale": getattr(trial, "sale", None),
        "standings": standings_of(commissions_of(trial.promise)) if started else [],
        "paper": (paper := trial.papers.filter(kind=PaperKind.TRIAL_AGREEMENT).first()),
        "signatures": paper.signatures.select_related("document") if paper else [],
        "days": days_of(trial),
        "life": (life := life_of_trial(trial, on=today())),
        "reports": life.reports,
        "now": what_now(life),
        "ahead": lines_ahead(life),
        "behind": lines_behind(life),
        "slips": slip_lines(life),
        "reminders": reminders_of(trial),
        "extensions": trial.extensions.all(),
    }
    context["sale_still_to_pay_minor"] = still_to_pay(context["sale"].promise) if context["sale"] else None
    context["is_blocked"] = any(problem.is_blocker for problem in context["problems"])
    return render(request, "shop/trial_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_start(request, number):
    trial = the_trial(number)
    is_draft = trial.state == TrialState.DRAFT
    words = agreement_words(trial, on=today()) if is_draft else None
    initial = {"content_hash": content_hash(words) if words else "", "customer_name": trial.person.name}
    form = StartTrialForm(request.POST or None, initial=initial, by=request.user)
    if request.method == "POST":
        answer = answered_before(request)
        if answer := answer or (form.is_valid() and _started(request, trial, words, form)):
            return answer
    context = {
        "form": form,
        "trial": trial,
        "problems": start_problems(trial, on=today()) if is_draft else [],
        "promise": open_promise_of(trial.instrument) if is_draft else None,
        "reports": reports_of_trial(trial),
        "due_minor": trial.pay_now_minor + trial.delivery_minor,
        "read_hash": in_fours(initial["content_hash"]),
        "drawing_width": WIDTH,
        "drawing_height": HEIGHT,
    }
    return render(request, "shop/trial_start.html", context)


def _started(request, trial: Trial, words, form: StartTrialForm):
    """Printed and put away before the transaction: nobody waits for a PDF while the database is held."""

    def act() -> str:
        started = start_trial(trial=trial, by=request.user, on=today(), **form.payment)
        keep_agreement(trial=started, stored=stored, **agreed, by=request.user)
        said = "The agreement is signed." if agreement.customer_signature else "Print the agreement."
        messages.success(request, f"{started.instrument.maker_name} is out on home trial. {said}")
        return started.get_absolute_url()

    if words is None:
        form.add_error(None, f"{trial.number} has started already.")
        return None
    try:
        agreement = _signed(words, form)
    except Refused as refused:
        form.add_error(None, refused.sentences)
        return None
    pdf = build_trial_agreement(agreement)
    agreed = {"terms": terms_of(trial), "agreement": agreement, "agreed_hash": content_hash(agreement)}
    with stored_paper(trial.number, pdf) as stored:
        return act_once(request, form, act)


def _signed(words, form: StartTrialForm):
    signatures = form.signatures()
    if not signatures:
        return words
    return signed_agreement(words, read_hash=form.cleaned_data["content_hash"], **signatures)


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_signed_paper(request, number):
    """A picture of the agreement that was signed in ink."""
    trial = the_trial(number)
    form = SignedPaperForm(
        request.POST or None,
        request.FILES or None,
        initial={"customer_name": trial.person.name, "signed_on": trial.starts_on},
    )

    def act() -> str:
        typed = form.cleaned_data
        keep_signed_paper(
            trial=trial,
            stored=stored,
            name=typed["customer_name"],
            signed_on=typed["signed_on"],
            by=request.user,
        )
        messages.success(request, "The signed page is on file.")
        return trial.get_absolute_url()

    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid():
            with stored_scan(form.cleaned_data["file"]) as stored:
                if answer := act_once(request, form, act):
                    return answer
    return render(request, "shop/trial_signed_paper.html", {"form": form, "trial": trial})


@require_GET
@permission_required("shop.sell", raise_exception=True)
def trial_agreement(request, number):
    """The kept paper, byte for byte, once the trial has started; before that, a draft that says so."""
    trial = the_trial(number)
    paper = trial.papers.filter(kind=PaperKind.TRIAL_AGREEMENT).first()
    if paper:
        return kept_paper_answer(paper, f"{number}-agreement.pdf")
    return pdf_answer(trial_agreement_of(trial, on=today(), is_draft=True), f"{number}-draft.pdf")
