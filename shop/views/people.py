from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.ledger import credit_of, pay_out_credit
from shop.actions.people import add_person, correct_person
from shop.actions.statement_papers import print_statement
from shop.commissions import standings_of
from shop.forms import PaymentForm, PersonForm
from shop.models import Person
from shop.statements import account_of, statement_of
from shop.views.answers import answer_form, today
from shop.views.papers import pdf_answer
from workorders.currency import in_words


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def people(request):
    words = request.GET.get("q", "")[:100]
    page = Paginator(Person.objects.search(words), 50).get_page(request.GET.get("page"))
    return render(request, "shop/people.html", {"page": page, "q": words})


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def person_page(request, pk):
    person = get_object_or_404(Person, pk=pk)
    context = {
        "person": person,
        "account": account_of(person),
        "credit_minor": credit_of(person),
        "sold_to_us": person.sold_to_us.select_related("instrument")[:50],
        "trials": person.trials.select_related("instrument")[:50],
        "sales": person.purchases_from_us.select_related("instrument")[:50],
        "taken_in": person.left_with_us.select_related("instrument")[:50],
        "standings": standings_of(person.commissions.all()[:50]),
        "open_promises": person.promises.open().select_related("instrument")[:50],
    }
    return render(request, "shop/person_page.html", context)


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def person_statement(request, pk):
    """Every step toward prices in one column of sums, and what is open."""
    statement = statement_of(get_object_or_404(Person, pk=pk))
    return render(request, "shop/person_statement.html", {"statement": statement, "person": statement.person})


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def person_statement_print(request, pk):
    statement = statement_of(get_object_or_404(Person, pk=pk))
    return pdf_answer(print_statement(statement, on=today()), f"statement-{pk}.pdf")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def credit_pay_out(request, pk):
    """Credit given back as money."""
    person = get_object_or_404(Person, pk=pk)
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
def person_edit(request, pk):
    person = get_object_or_404(Person, pk=pk)
    form = PersonForm(request.POST or None, instance=person)

    def act() -> str:
        correct_person(person=person, by=request.user, **form.cleaned_data)
        messages.success(request, f"Card of {person.name} saved.")
        return person.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/person_form.html", {"form": form, "heading": person.name, "person": person})
