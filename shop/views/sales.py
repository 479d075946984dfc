from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.db import connection
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from instruments.models import Instrument
from instruments.models.worded import ASKED, Worded, beforehand
from instruments.states import Occasion
from shop.actions.invoices import paper_of
from shop.actions.ledger import credit_of, still_to_pay, take_payment, use_credit, value_in
from shop.actions.people import add_person
from shop.actions.sales import sell
from shop.after_care import care_of
from shop.care_problems import guarantee_paper_of
from shop.commissions import commissions_of, standings_of
from shop.forms import CreditForm, PaymentInForm, SaleForm
from shop.models import Promise, Receipt, Sale
from shop.payment_plans import plan_of
from shop.problems import open_promise_of, sale_problems
from shop.promise_money import MoneyRow, money_rows
from shop.refund_lines import kept_lines_of
from shop.sale_course import course_of
from shop.sale_now import SaleStands, sale_next
from shop.states import PaperKind, PromiseKind
from shop.untouched import part_exchanges_of
from shop.views.answers import answer_form, the_instrument, today
from workorders.currency import in_words

MOST_PAPERS = 30
OF_A_PROMISE = ("instrument", "person", "sale", "trial")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_record(request, stock_number):
    instrument = the_instrument(stock_number)
    asking_minor = getattr(instrument.asking_prices.first(), "amount_minor", None)
    person = request.GET.get("person") or _whom_it_is_held_for(instrument)
    initial = {"price_minor": asking_minor, "person": person}
    form = SaleForm(request.POST or None, initial=initial, asking_minor=asking_minor, instrument=instrument)
    sold = []

    def act() -> str:
        data = form.cleaned_data
        person = data["person"] or add_person(by=request.user, **form.person_card())
        money = {name: data[name] or 0 for name in ("price_minor", "pay_now_minor", "credit_minor")}
        words = {"method": data["method"], "reference": data["reference"], "agreed": form.agreed}
        given = money | words | {"by": request.user, "on": data["sold_on"] or today()}
        sold.append(sale := sell(instrument=instrument, person=person, **given))
        return reverse("shop:sale_plan", args=[sale.number]) if data["in_stages"] else sale.get_absolute_url()

    def say() -> None:
        messages.success(request, f"Sold. Still to pay: {in_words(still_to_pay(sold[-1].promise))}.")

    if answer := answer_form(request, form, act, then=say):
        return answer
    context = {"form": form, "instrument": instrument} | _what_holds_now(instrument)
    return render(request, "shop/sale_form.html", context)


def _what_holds_now(instrument: Instrument) -> dict:
    """Read once the sale was refused: somebody else may have been quicker."""
    return {"promise": open_promise_of(instrument), "problems": sale_problems(instrument)}


def _whom_it_is_held_for(instrument: Instrument) -> int | None:
    promise = open_promise_of(instrument)
    return promise.person.standing_card.pk if promise and promise.kind == PromiseKind.HOLD else None


@require_GET
@permission_required("shop.sell", raise_exception=True)
def sale_page(request, number):
    sale = get_object_or_404(
        Sale.objects.select_related("instrument", "person", "promise", "from_trial__instrument"),
        number=number,
    )
    course, plan, care = (told(sale, on=today()) for told in (course_of, plan_of, care_of))
    invoice, held = paper_of(sale, PaperKind.INVOICE), value_in(sale.promise)
    context = {
        "sale": sale,
        "held_minor": held,
        "still_to_pay_minor": still_to_pay(sale.promise),
        "credit_minor": credit_of(sale.person),
        "part_exchanges": part_exchanges_of(sale),
        "money_rows": money_rows(sale.promise),
        "standings": standings_of(commissions_of(sale.promise)),
        "plan": plan,
        "course": course,
        "on": today(),
        "ending": course.ending,
        "care": care,
        "guarantee": guarantee_paper_of(sale),
        "call_backs": sale.promise.call_backs.all()[:20],
        "invoice": invoice,
        "lacks_address": not (invoice or course.ending or course.notice or sale.person.standing_card.address),
        "report": sale.instrument.condition_reports.filter(occasion=Occasion.AS_SOLD).first(),
    }
    to_pay, refunded = context["still_to_pay_minor"], _newest_refund(context["money_rows"])
    stands = SaleStands(sale, course, plan, to_pay, held, bool(invoice), bool(care.agreed), refunded)
    return render(request, "shop/sale_page.html", context | {"next": sale_next(stands)} | _once_ended(sale))


def _newest_refund(rows: list[MoneyRow]) -> Receipt | None:
    found = [row.receipt for row in rows if row.receipt and row.held_minor < 0]
    return found[-1] if found else None


def _once_ended(sale: Sale) -> dict:
    """What was kept, and every paper that was printed of a sale that has ended."""
    if not hasattr(sale, "ending"):
        return {}
    shown = {PaperKind.INVOICE, PaperKind.CREDIT_NOTE, PaperKind.GUARANTEE}
    return {
        "kept_lines": list(kept_lines_of(sale.promise)),
        "other_papers": sale.papers.exclude(kind__in=shown)[:MOST_PAPERS],
    }


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def payment_take(request, pk):
    """Money toward a trial or a sale that is still to be paid."""
    promise = _paid_toward(request, pk)
    form = PaymentInForm(request.POST or None, initial={"paid_on": today()}, **_since(promise))

    def act() -> str:
        given = dict(form.cleaned_data)
        take_payment(promise=promise, by=request.user, on=given.pop("paid_on") or today(), **given)
        return page_of(promise)

    def say() -> None:
        messages.success(request, f"Received. Still to pay: {in_words(still_to_pay(promise))}.")

    if answer := answer_form(request, form, act, then=say):
        return answer
    context = {"form": form, "promise": promise, "still_to_pay_minor": still_to_pay(promise)}
    return render(request, "shop/payment_form.html", context)


def _paid_toward(request, pk: int) -> Promise:
    """The trial or sale of this key, with what the page and the answer say of it."""
    for promise in _by_key(connection.vendor).asking(pk).found():
        if promise.is_open or request.method == "POST":
            return promise
    raise Http404


@beforehand
def _by_key(vendor: str) -> Worded:
    promises = Promise.objects.exclude(kind=PromiseKind.HOLD).select_related(*OF_A_PROMISE)
    return Worded.of(promises.filter(pk=ASKED))


def _since(promise: Promise) -> dict:
    """The first day on which something can have been paid toward it."""
    words = "It was sold on" if promise.kind == PromiseKind.SALE else "The home trial began on"
    return {"since": promise.opened_on, "since_words": words}


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def credit_spend(request, pk):
    """Credit that a person has, put toward what they still have to pay."""
    promise = _paid_toward(request, pk)
    if promise.kind != PromiseKind.SALE:
        raise Http404
    form = CreditForm(request.POST or None)

    def act() -> str:
        amount = form.cleaned_data["amount_minor"]
        use_credit(promise=promise, amount_minor=amount, note="", by=request.user, on=today())
        return page_of(promise)

    def say() -> None:
        messages.success(request, f"Credit used. Still to pay: {in_words(still_to_pay(promise))}.")

    if answer := answer_form(request, form, act, then=say):
        return answer
    context = {
        "form": form,
        "promise": promise,
        "still_to_pay_minor": still_to_pay(promise),
        "credit_minor": credit_of(promise.person),
    }
    return render(request, "shop/payment_form.html", context)


def page_of(promise: Promise) -> str:
    if promise.kind == PromiseKind.SALE:
        return promise.sale.get_absolute_url()
    return promise.trial.get_absolute_url()
