"""Holding an instrument for somebody, what the hold says, and letting it go again."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.holds import (
    extension_paper_kept,
    hold_paper_kept,
    issue_extension_paper,
    issue_hold_paper,
)
from shop.actions.ledger import value_in
from shop.actions.people import add_person
from shop.actions.promises import extend_hold, most_kept, place_hold, release_hold
from shop.forms import EndHoldForm, ExtendHoldForm, HoldForm
from shop.hold_extensions import extensions_of
from shop.hold_words import CHECK_THE_LAW, deposit_cautions, terms_words, usual_terms
from shop.models import Promise, ShopProfile
from shop.problems import dealing_problems, open_promise_of
from shop.promise_money import money_rows
from shop.states import LetGoBy, PromiseKind
from shop.views.answers import answer_form, the_instrument, today
from shop.views.papers import printed_answer

MOST_WAITING = 20


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def hold_place(request, stock_number):
    instrument = the_instrument(stock_number)
    shop, price = ShopProfile.current(), instrument.asking_prices.first()
    told = {"today": today(), "shop": shop, "asking_minor": price.amount_minor if price else None}
    form = HoldForm(request.POST or None, initial={"person": request.GET.get("person")}, **told)

    def act() -> str:
        person = form.cleaned_data["person"] or add_person(by=request.user, **form.person_card())
        promise = place_hold(
            instrument=instrument,
            person=person,
            deposit_minor=form.cleaned_data["deposit_minor"] or 0,
            by=request.user,
            on=today(),
            **form.terms,
        )
        messages.success(request, f"Held for {person}{promise.ends_in_words}. Hand them the paper of it.")
        return promise.hold_terms.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "instrument": instrument,
        "problems": dealing_problems(instrument, act="offering"),
        "promise": open_promise_of(instrument),
        "price": price,
    }
    return render(request, "shop/hold_form.html", context | _terms_beside(shop))


def _terms_beside(shop: ShopProfile) -> dict:
    large = {"large_percent": shop.hold_large_percent, "check_the_law": CHECK_THE_LAW}
    return {"usual": usual_terms()} | large


@require_GET
@permission_required("shop.sell", raise_exception=True)
def hold_page(request, pk):
    """The terms of a hold, what was paid on it and what became of it."""
    promise = _hold(pk)
    terms = getattr(promise, "hold_terms", None)
    context = {
        "promise": promise,
        "terms": terms,
        "terms_words": terms_words(terms) if terms else (),
        "problems": deposit_cautions(terms) if terms and promise.is_open else [],
        "extensions": extensions_of(terms) if terms else [],
        "money_rows": money_rows(promise),
        "held_minor": value_in(promise),
        "ending": getattr(promise, "hold_ending", None),
        "sale": promise.instrument.sales.filter(person=promise.person).first(),
        "usual": usual_terms(),
        **_who_waits(promise),
    }
    return render(request, "shop/hold_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def hold_paper(request, pk):
    """The paper of a hold as it was printed the first time; that of one extension where it is asked for."""
    promise, wanted = _hold(pk), request.GET.get("extension")
    if not hasattr(promise, "hold_terms"):
        raise Http404("No terms were written down when it was placed.")
    terms, by = promise.hold_terms, request.user
    if wanted is None:
        name, kept = f"hold-{terms.number}.pdf", hold_paper_kept(terms)
        return printed_answer(request, name, kept=kept, keep=lambda: issue_hold_paper(terms=terms, by=by))
    found = [each for each in extensions_of(terms) if str(each.position) == wanted]
    if not found:
        raise Http404("It was not extended so often.")
    return printed_answer(
        request,
        f"hold-{found[0].number}.pdf",
        kept=extension_paper_kept(found[0]),
        keep=lambda: issue_extension_paper(extension=found[0], by=by),
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def hold_extend(request, pk):
    promise = _hold(pk)
    form = ExtendHoldForm(request.POST or None, today=today(), promise=promise)

    def act() -> str:
        extended = extend_hold(promise=promise, by=request.user, **form.cleaned_data)
        said = f"Held for {promise.person}{extended.ends_in_words}. Hand them the paper of the extension."
        messages.success(request, said)
        return reverse("shop:hold_page", args=[promise.pk])

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/hold_extend.html", {"form": form, "promise": promise})


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def hold_release(request, pk):
    """End a hold, with what its terms say of the deposit beside the choice."""
    promise, on = _hold(pk), today()
    paid = value_in(promise)
    most = most_kept(promise, let_go_by=LetGoBy.CUSTOMER, on=on)
    stands = {"paid_minor": paid, "most_minor": most, "has_passed": promise.until < on}
    form = EndHoldForm(request.POST or None, paid_by=_paid_by(promise), **stands)

    def act() -> str:
        release_hold(promise=promise, by=request.user, on=on, **form.cleaned_data)
        messages.success(request, f"The hold for {promise.person} has ended.")
        return reverse("shop:hold_page", args=[promise.pk])

    if answer := answer_form(request, form, act):
        return answer
    terms = getattr(promise, "hold_terms", None)
    context = {
        "form": form,
        "promise": promise,
        "paid_minor": paid,
        "most_minor": most,
        "terms": terms,
        "terms_words": terms_words(terms) if terms else (),
        "check_the_law": CHECK_THE_LAW,
    }
    return render(request, "shop/hold_release.html", context | _who_waits(promise))


def _paid_by(hold: Promise) -> str:
    deposit = hold.payments.filter(amount_minor__gt=0).first()
    return deposit.method if deposit else ""


def _who_waits(hold: Promise) -> dict:
    """Those behind it, and who has the instrument now: for `waiting_places.html`."""
    places = hold.instrument.waiting_places.open().select_related("person")
    return {
        "instrument": hold.instrument,
        "waiting_places": places[:MOST_WAITING],
        "taken_by": open_promise_of(hold.instrument),
    }


def _hold(pk: int) -> Promise:
    beside = ("instrument", "person", "hold_terms", "hold_ending__recorded_by", "closed_by")
    return get_object_or_404(Promise.objects.select_related(*beside), pk=pk, kind=PromiseKind.HOLD)
