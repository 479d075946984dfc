"""The guarantee: its usual parts, what is agreed with one sale, and the paper that is handed out."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.problems import Refused
from shop.actions.care_terms import agree_care, change_reminding, change_usual_care, usual_terms
from shop.actions.guarantee_papers import issue_guarantee
from shop.after_care import care_of
from shop.care_problems import IN_ADDITION, changing_care_problems, guarantee_paper_of
from shop.forms.care import GuaranteePartForm, RemindingForm, SaleCareForm, UsualCareForm
from shop.models import GuaranteePart, UsualCare
from shop.views.answers import answer_form, today
from shop.views.invoices import the_sale
from shop.views.papers import kept_paper_answer

MOST_PARTS = 60


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def care_terms(request):
    """What every new sale starts from."""
    form = UsualCareForm(request.POST or None, instance=UsualCare.current())

    def act() -> str:
        change_usual_care(by=request.user, **form.cleaned_data)
        messages.success(request, "Saved. Sales from here on start from it; those agreed keep theirs.")
        return reverse("shop:care_terms")

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "parts": GuaranteePart.objects.all()[:MOST_PARTS], "caution": IN_ADDITION}
    return render(request, "shop/care_terms.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def guarantee_part_add(request):
    last = GuaranteePart.objects.last()
    part = GuaranteePart(position=min(last.position + 10, 32_767) if last else 10)
    return _part_form(request, part, heading="Add a part to the guarantee")


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def guarantee_part_edit(request, code):
    part = get_object_or_404(GuaranteePart, code=code)
    return _part_form(request, part, heading="Change a part of the guarantee")


def _part_form(request, part: GuaranteePart, *, heading: str):
    form = GuaranteePartForm(request.POST or None, instance=part)

    def act() -> str:
        saved = form.save_by(request.user)
        messages.success(request, f"“{saved.name}” is saved. Guarantees from here on start from it.")
        return reverse("shop:care_terms")

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/guarantee_part_form.html", {"form": form, "heading": heading})


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_care(request, number):
    """Part by part, what this sale comes with; changed until the guarantee is printed."""
    sale = the_sale(number)
    standing = care_of(sale, on=today())
    terms = standing.terms or usual_terms()
    reminds = standing.agreed.reminds if standing.agreed else True
    form = SaleCareForm(request.POST or None, terms=terms, reminds=reminds)

    def act() -> str:
        reminds = form.cleaned_data["reminds"]
        agree_care(sale=sale, terms=form.agreed(), reminds=reminds, by=request.user)
        messages.success(request, "After-care agreed. Look it through, then print the guarantee.")
        return f"{sale.get_absolute_url()}#after-care"

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "sale": sale,
        "standing": standing,
        "problems": changing_care_problems(sale),
        "caution": IN_ADDITION,
    }
    return render(request, "shop/sale_care.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def care_remind(request, number):
    """Whether this customer is reminded of tunings."""
    sale = the_sale(number)
    agreed = sale.care_terms.first()
    if agreed is None:
        raise Http404("Nothing is agreed with this sale yet.")
    form = RemindingForm(request.POST or None)

    def act() -> str:
        now = change_reminding(sale=sale, reminds=not agreed.reminds, by=request.user, **form.cleaned_data)
        messages.success(request, f"They are {'reminded again' if now.reminds else 'reminded no more'}.")
        return f"{sale.get_absolute_url()}#after-care"

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/care_remind.html", {"form": form, "sale": sale, "agreed": agreed})


@require_POST
@permission_required("shop.sell", raise_exception=True)
def sale_guarantee(request, number):
    """Pressed once, it is printed and kept as printed."""
    sale = the_sale(number)
    try:
        issue_guarantee(sale=sale, by=request.user, on=today())
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect("shop:sale_care", number)
    messages.success(request, f"Guarantee {number} is printed, and kept as printed.")
    return redirect(f"{sale.get_absolute_url()}#after-care")


@require_GET
@permission_required("shop.sell", raise_exception=True)
def sale_guarantee_print(request, number):
    kept = guarantee_paper_of(the_sale(number))
    if kept is None:
        raise Http404("No guarantee was printed for this sale.")
    return kept_paper_answer(kept, f"guarantee-{number}.pdf")
