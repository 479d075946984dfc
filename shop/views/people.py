from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.credit_days import lots_of
from shop.actions.ledger import credit_of, pay_out_credit
from shop.actions.people import add_person, correct_person
from shop.actions.statement_papers import print_statement
from shop.care_states import VisitState
from shop.doubles import doubles_of
from shop.forms import PaymentForm, PersonForm
from shop.models import ErasureKind, Person
from shop.pages import one_page
from shop.person_card import MOST, MOST_PAPERS, card_of, newest_papers, receipts_of, visits_of_person
from shop.person_late import late_of
from shop.person_papers import papers_of
from shop.statements import account_of, statement_of
from shop.views.answers import answer_form, today
from shop.views.cards import of_standing_card
from shop.views.papers import kept_paper_answer, pdf_answer
from shop.wishes import wants_of
from workorders.currency import in_words

A_PAGE = 50


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def people(request):
    """Everybody, a page at a time; or who goes with some words, which no address holds."""
    words = request.POST.get("q", "").replace("\0", " ")[:100]
    page = one_page(Person.objects.standing().search(words), request.GET.get("page"), size=A_PAGE)
    return render(request, "shop/people.html", {"page": page, "q": words})


@require_GET
@permission_required("shop.see_people", raise_exception=True)
@of_standing_card
def person_page(request, person):
    card = card_of(person, on=today(), sees_costs=request.user.has_perm("shop.see_costs"))
    context = {
        "person": person,
        "card": card,
        "late": late_of(card),
        "account": account_of(person),
        "lots": lots_of(person),
        "trials": person.whole("trials").select_related("instrument")[:MOST],
        "sales": person.whole("purchases_from_us").select_related("instrument", "ending")[:MOST],
        "sold_to_us": _sold_to_us(person)[:MOST],
        "taken_in": person.whole("left_with_us").select_related("instrument")[:MOST],
        "on_return": person.whole("sale_or_returns").select_related("instrument")[:MOST],
        "leads": person.whole("leads")[:MOST],
        "wanted": wants_of(person),
        "enquiries": person.whole("enquiries").select_related("instrument")[:MOST],
        "places": person.whole("waiting_places").open().select_related("instrument")[:MOST],
        "visits_made": visits_of_person(person).with_done_on().exclude(state=VisitState.BOOKED)[:MOST_PAPERS],
        "receipts": receipts_of(person),
        "papers": newest_papers(person),
        "joined": person.doubles.all()[:MOST],
        "erasure": person.whole("erasures").exclude(kind=ErasureKind.DUE).first()
        if person.closed_on
        else None,
        "likely_doubles": doubles_of(person)[:5],
    }
    return render(request, "shop/person_page.html", context)


def _sold_to_us(person):
    """Each purchase as it was last corrected."""
    return person.whole("sold_to_us").filter(corrected_by=None).select_related("instrument")


@require_GET
@permission_required("shop.sell", raise_exception=True)
@of_standing_card
def person_paper(request, person, paper):
    """One of their kept papers, as it was printed."""
    kept = get_object_or_404(papers_of(person), pk=paper)
    return kept_paper_answer(kept, f"{kept.kind}-{kept.number}.pdf".replace(" ", "-"))


@require_GET
@permission_required("shop.see_people", raise_exception=True)
@of_standing_card
def person_statement(request, person):
    """Every step toward prices in one column of sums, and what is open."""
    statement = statement_of(person)
    return render(request, "shop/person_statement.html", {"statement": statement, "person": statement.person})


@require_GET
@permission_required("shop.see_people", raise_exception=True)
@of_standing_card
def person_statement_print(request, person):
    statement = statement_of(person)
    return pdf_answer(print_statement(statement, on=today()), f"statement-{person.pk}.pdf")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
@of_standing_card
def credit_pay_out(request, person):
    """Credit given back as money."""
    credit = credit_of(person)
    form = PaymentForm(request.POST or None, initial={"amount_minor": credit or None})

    def act() -> str:
        paid = pay_out_credit(person=person, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{in_words(-paid.amount_minor)} of credit paid out.")
        return f"{person.get_absolute_url()}#account"

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "person": person, "credit_minor": credit}
    return render(request, "shop/credit_pay_out.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def person_add(request):
    form = PersonForm(request.POST or None)

    def act() -> str:
        return add_person(by=request.user, **form.cleaned_data).get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/person_form.html", {"form": form, "heading": "Somebody new"})


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
@of_standing_card
def person_edit(request, person):
    if person.closed_on:
        when = f"{person.closed_on:%-d %B %Y}"
        words = (
            f"Their data was erased on {when}, so there is nothing to correct. If they deal with us again,"
        )
        messages.info(request, f"{words} make a new card.")
        return redirect(person)
    form = PersonForm(request.POST or None, instance=person)

    def act() -> str:
        correct_person(person=person, by=request.user, **form.cleaned_data)
        messages.success(request, f"Card of {person.name} saved.")
        return person.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/person_form.html", {"form": form, "heading": person.name, "person": person})
