"""What is here on sale or return: taken in, looked at, paid out, handed back."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from instruments.views.identity import known_makers
from shop.actions.owner_papers import kept_agreement, owners_agreement_paper, part_words
from shop.actions.people import add_person
from shop.actions.sale_or_return import hand_back, pay_owner, take_on_sale_or_return
from shop.forms.sale_or_return import HandBackForm, PayOutForm, SaleOrReturnForm
from shop.models import SaleOrReturn
from shop.owners import owed_for
from shop.views.answers import answer_form, today
from shop.views.papers import printed_answer
from workorders.currency import in_words


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def sale_or_returns(request):
    rows = SaleOrReturn.objects.select_related("instrument", "owner")
    page = Paginator(rows, 40).get_page(request.GET.get("page"))
    return render(request, "shop/sale_or_returns.html", {"page": page})


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def sale_or_return_new(request):
    form = SaleOrReturnForm(request.POST or None, initial={"begins_on": today()})

    def act() -> str:
        owner = form.cleaned_data["person"] or add_person(by=request.user, **form.person_card())
        identity = form.identity() | {"place": form.cleaned_data["place"]}
        agreement = take_on_sale_or_return(
            identity=identity, owner=owner, by=request.user, on=today(), **form.agreed()
        )
        messages.success(request, f"{agreement.number} is made. Print it, and have it signed.")
        return agreement.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/sale_or_return_new.html", {"form": form, "makers": known_makers()})


def _agreement(number: str) -> SaleOrReturn:
    return get_object_or_404(SaleOrReturn.objects.select_related("instrument", "owner"), number=number)


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def sale_or_return_page(request, number):
    agreement = _agreement(number)
    context = {
        "agreement": agreement,
        "part": part_words(agreement),
        "owed": owed_for(agreement),
        "payouts": agreement.payouts.select_related("recorded_by"),
        "today": today(),
    }
    return render(request, "shop/sale_or_return_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def sale_or_return_print(request, number):
    agreement = _agreement(number)
    return printed_answer(
        request,
        f"{number}.pdf",
        kept=kept_agreement(agreement),
        keep=lambda: owners_agreement_paper(agreement=agreement, by=request.user),
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def sale_or_return_pay(request, number):
    agreement = _agreement(number)
    owed = owed_for(agreement)
    form = PayOutForm(request.POST or None, initial={"amount_minor": owed.owed_minor if owed else None})

    def act() -> str:
        paid = pay_owner(agreement=agreement, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{in_words(paid.amount_minor)} paid to {agreement.owner}.")
        return agreement.get_absolute_url()

    return _form(request, agreement, form, act, "Pay the owner", "Never more than is owed for the sale.")


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def sale_or_return_back(request, number):
    agreement = _agreement(number)
    form = HandBackForm(request.POST or None)

    def act() -> str:
        hand_back(agreement=agreement, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, "Handed back; it can be offered no more.")
        return agreement.get_absolute_url()

    return _form(request, agreement, form, act, "Hand it back", "Unsold, to its owner.")


def _form(request, agreement, form, act, heading: str, lede: str):
    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": agreement.instrument, "heading": heading, "lede": lede}
    return render(request, "shop/record_form.html", context)
