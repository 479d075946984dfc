"""A customer's wishes from the first word to the last payment."""

from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from instruments.views.once import answered_before
from shop.actions.commissions import issue_quote, next_version, open_commission
from shop.actions.papers import stored_paper
from shop.actions.work_papers import quote_paper_of
from shop.commission_problems import (
    beginning_problems_of,
    money_cautions,
    opening_problems,
    quoting_problems,
)
from shop.commissions import standing_of, standings_of
from shop.forms.commissions import WISH_FIELDS, CommissionForm, QuoteForm
from shop.models import Commission, Quote, TakenIn
from shop.problems import open_promise_of
from shop.views.answers import act_once, answer_form, the_instrument, today
from shop.views.papers import kept_paper_answer
from workorders.steps import steps_of

A_PAGE = 30
USUALLY_VALID = timedelta(days=30)
LISTS = {"open": "Open", "approval": "Waiting for approval", "all": "All"}


def the_commission(number: str) -> Commission:
    rows = Commission.objects.select_related("order__instrument", "person", "promise", "taken_in")
    return get_object_or_404(rows, number=number)


def the_quote(number: str, version: int) -> Quote:
    rows = Quote.objects.select_related(
        "commission__order__instrument", "commission__person", "paper", "approval__document"
    )
    return get_object_or_404(rows, commission__number=number, version=version)


@require_GET
@permission_required("shop.sell", raise_exception=True)
def commissions(request):
    shown = request.GET.get("show", "open")
    rows = Commission.objects.select_related("order__instrument", "person")
    if shown == "approval":
        rows = rows.not_approved()
    elif shown != "all":
        shown, rows = "open", rows.standing().filter(order__state="open")
    page = Paginator(rows.order_by("-id"), A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "standings": standings_of(page.object_list), "shown": shown, "lists": LISTS}
    return render(request, "shop/commissions.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def commission_add(request, stock_number):
    """For whoever has the instrument promised, or whose own it is."""
    instrument = the_instrument(stock_number)
    promise = open_promise_of(instrument)
    taken_in = TakenIn.objects.here().filter(instrument=instrument).select_related("person").first()
    source = {"taken_in": taken_in} if taken_in else {"promise": promise}
    form = CommissionForm(request.POST or None)
    whose = taken_in or promise

    def act() -> str:
        commission = open_commission(by=request.user, on=today(), **source, **form.cleaned_data)
        messages.success(request, f"{commission.number} is open. Write the quote next.")
        return commission.get_absolute_url()

    if whose and (answer := answer_form(request, form, act)):
        return answer
    problems = opening_problems(**source) if whose else []
    context = {"form": form, "instrument": instrument, "whose": whose, "problems": problems}
    return render(request, "shop/commission_form.html", context)


@require_GET
@permission_required("shop.sell", raise_exception=True)
def commission_page(request, number):
    commission = the_commission(number)
    standing = standing_of(commission)
    can_quote = not any(problem.is_blocker for problem in quoting_problems(standing))
    context = {
        "commission": commission,
        "standing": standing,
        "waits": beginning_problems_of(commission.order) if commission.order.is_open else [],
        "cautions": money_cautions(standing),
        "payments": commission.payments.select_related("receipt"),
        "extras": [extra for quote in standing.quotes for extra in quote.extras.all()],
        "can_quote": can_quote,
        "may_adopt_touch": commission.order.has_own_touch and not commission.taken_in,
        "work": steps_of([commission.order])[commission.order_id],
        "today": today(),
    }
    return render(request, "shop/commission_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def quote_issue(request, number):
    """The next version: the lines of the present one, to be changed."""
    commission = the_commission(number)
    standing = standing_of(commission)
    form = QuoteForm(request.POST or None, **_of_present(standing), instrument=commission.order.instrument)
    version = next_version(commission)

    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid() and (answer := _issued(request, form, standing, version)):
            return answer
    context = {
        "form": form,
        "commission": commission,
        "version": version,
        "problems": quoting_problems(standing),
    }
    return render(request, "shop/quote_form.html", context)


def _of_present(standing) -> dict:
    present = standing.present
    initial = {"valid_until": today() + USUALLY_VALID}
    if present is None:
        return {"initial": initial, "today": today()}
    wishes = [{name: getattr(wish, name) for name in WISH_FIELDS} for wish in present.wishes.all()]
    terms = ("deposit_minor", "extras_cap_minor", "note")
    initial |= {name: getattr(present, name) or None for name in terms}
    return {"initial": initial, "today": today(), "wishes": wishes}


def _issued(request, form: QuoteForm, standing, version: int):
    """Printed and put away before the transaction: nobody waits for a PDF while the database is held."""
    commission = standing.commission
    said = {"version": version, "wishes": form.wishes(), **form.terms()}
    pdf = quote_paper_of(standing, on=today(), **said)
    with stored_paper(f"{commission.number}-v{version}", pdf) as stored:

        def act() -> str:
            quote = issue_quote(commission=commission, stored=stored, by=request.user, on=today(), **said)
            messages.success(
                request, f"Version {quote.version} is quoted. It waits for {commission.person}’s written yes."
            )
            return commission.get_absolute_url()

        return act_once(request, form, act)


@require_GET
@permission_required("shop.sell", raise_exception=True)
def quote_paper(request, number, version):
    """Byte for byte as the customer has it."""
    quote = the_quote(number, version)
    return kept_paper_answer(quote.paper, f"{number}-version-{version}.pdf")
