"""The shop's terms of credit, and credit whose last day has passed."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from shop.actions.credit_days import expire_credit, lots_of
from shop.actions.credit_terms import credit_terms_in_force, put_credit_terms_in_force
from shop.credit_problems import RUNS_OUT_CAUTION, scale_cautions
from shop.credit_words import expiry_words, fees_words, reach_words, scale_words
from shop.forms import CreditTermsForm
from shop.forms.credit_terms import RanOutForm, as_initial
from shop.models import CreditTerms, Person, Promise
from shop.views.answers import answer_form, today
from workorders.currency import in_words


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def credit_terms_page(request):
    """What is in force, and a form that puts other terms in force for trials drafted from then on."""
    last = credit_terms_in_force()
    form = CreditTermsForm(request.POST or None, in_force=last.rule, initial=as_initial(last.rule))

    def act() -> str:
        data = form.cleaned_data
        terms = put_credit_terms_in_force(rule=data["credit"], note=data["note"], by=request.user, on=today())
        messages.success(request, f"Terms of credit {terms.label} are in force from today.")
        for caution in scale_cautions(terms.rule):
            messages.warning(request, caution.sentence)
        return reverse("shop:credit_terms_page")

    if answer := answer_form(request, form, act):
        return answer
    versions = CreditTerms.objects.of_the_shop().select_related("recorded_by")
    page = Paginator(versions, 20).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "last": last,
        "lines": credit_lines(last.rule),
        "caution": RUNS_OUT_CAUTION,
        "problems": scale_cautions(last.rule),
        "changes": _changes(last.rule, form.preview) if form.preview else [],
        "cautions_to_come": scale_cautions(form.preview) if form.preview else [],
        "page": page,
        "versions": [(version, _in_a_line(version.rule)) for version in page],
    }
    return render(request, "shop/credit_terms.html", context)


def credit_lines(rule) -> list[tuple[str, str]]:
    return [
        ("How much counts", scale_words(rule)),
        ("Toward", reach_words(rule)),
        ("Beside the price", fees_words(rule)),
        ("What is left over", expiry_words(rule)),
    ]


def _changes(was, becomes) -> list[tuple[str, str, str]]:
    """Each line of the terms that will read otherwise."""
    pairs = zip(credit_lines(was), credit_lines(becomes), strict=True)
    return [(label, before, after) for (label, before), (_, after) in pairs if before != after]


def _in_a_line(rule) -> str:
    return f"{scale_words(rule)}, toward {reach_words(rule)}. {fees_words(rule)} {expiry_words(rule)}"


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def credit_ran_out(request, pk):
    """What is left of each credit and until when; the owner takes off what has run out, or lets it be."""
    person = get_object_or_404(Person, pk=pk)
    form = RanOutForm(request.POST or None)

    def act() -> str:
        taken = expire_credit(person=person, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{in_words(taken)} has run out and stands so on the statement.")
        return f"{person.get_absolute_url()}#account"

    if answer := answer_form(request, form, act):
        return answer
    lots = lots_of(person)
    sources = Promise.objects.select_related("instrument").in_bulk([lot.source for lot in lots])
    over = sum(lot.amount_minor for lot in lots if lot.runs_out_on and lot.runs_out_on < today())
    context = {
        "person": person,
        "form": form,
        "lots": [(lot, sources[lot.source]) for lot in lots],
        "over_minor": over,
        "today": today(),
        "caution": RUNS_OUT_CAUTION,
    }
    return render(request, "shop/credit_ran_out.html", context)
