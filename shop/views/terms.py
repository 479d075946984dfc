"""The words of our agreements: clause by clause, and the versions that were put in force."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.terms import clauses_of, put_in_force, working_words
from shop.forms.terms import ClauseForm, PutInForceForm
from shop.models import AgreementClause, TermsVersion
from shop.terms_problems import (
    HIRE_AND_CREDIT,
    SILENCE_BUYS,
    SILENCE_KEEPS_IT_OURS,
    silence_cautions,
    terms_problems,
)
from shop.views.answers import answer_form, today

MOST_CLAUSES = 200


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def terms_page(request):
    """The clauses as they stand now, beside the version in force; a press puts them in force."""
    last = TermsVersion.objects.first()
    keeping = "yes" if last and last.keeping_is_buying else "no"
    form = PutInForceForm(request.POST or None, initial={"keeping_is_buying": keeping})

    def act() -> str:
        version = put_in_force(by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Terms {version.label} are in force from today.")
        for caution in silence_cautions(version.keeping_is_buying):
            messages.warning(request, caution.sentence)
        return reverse("shop:terms_page")

    if answer := answer_form(request, form, act):
        return answer
    words = working_words()
    context = {
        "form": form,
        "clauses": AgreementClause.objects.all()[:MOST_CLAUSES],
        "last": last,
        "has_changed": last is None or last.words != words,
        "problems": terms_problems(words, keeping_is_buying=bool(last and last.keeping_is_buying)),
        "cautions": [HIRE_AND_CREDIT, *words["cautions"]],
        "silence": [SILENCE_KEEPS_IT_OURS, SILENCE_BUYS],
        "page": Paginator(TermsVersion.objects.select_related("put_in_force_by"), 20).get_page(
            request.GET.get("page")
        ),
    }
    return render(request, "shop/terms_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def clause_add(request):
    last = AgreementClause.objects.last()
    clause = AgreementClause(position=last.position + 10 if last else 10)
    return _clause_form(request, clause, heading="Add a clause")


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def clause_edit(request, code):
    return _clause_form(request, get_object_or_404(AgreementClause, code=code), heading="Change a clause")


def _clause_form(request, clause: AgreementClause, *, heading: str):
    form = ClauseForm(request.POST or None, instance=clause)

    def act() -> str:
        saved = form.save_by(request.user)
        messages.success(request, f"“{saved.heading}” is saved. It counts once the terms are put in force.")
        return f"{reverse('shop:terms_page')}#clause-{saved.code}"

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/clause_form.html", {"form": form, "heading": heading})


@require_GET
@permission_required("shop.sell", raise_exception=True)
def terms_version(request, label):
    version = get_object_or_404(TermsVersion.objects.select_related("put_in_force_by"), label=label)
    terms = clauses_of(version)
    return render(request, "shop/terms_version.html", {"version": version, "terms": terms})
