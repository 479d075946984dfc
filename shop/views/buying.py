"""Buying on one page: from a lead, from nothing, or in part exchange against a sale."""

from contextlib import nullcontext

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from instruments.scans import stored_scan
from instruments.views.identity import known_makers
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from shop.actions.buying import buy
from shop.actions.ledger import still_to_pay
from shop.actions.people import add_person, correct_person
from shop.actions.purchase_papers import kept_invoice, purchase_invoice_paper
from shop.forms.buying import BuyForm
from shop.lead_problems import why_decided
from shop.models import Lead, Purchase, Sale
from shop.views.answers import act_once, only_finds, today
from shop.views.leads import the_lead
from shop.views.papers import printed_answer


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def purchase_new(request):
    return _buy(request)


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def lead_buy(request, number):
    return _buy(request, lead=the_lead(number))


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def part_exchange(request, number):
    """Written by whoever sells: the customer is told the allowance, and the page tells no other cost."""
    sales = Sale.objects.select_related("person", "instrument", "promise")
    return _buy(request, sale=get_object_or_404(sales, number=number))


def _buy(request, *, lead: Lead | None = None, sale: Sale | None = None):
    initial = {"bought_on": today(), "route": "private"} | (_from_lead(lead) if lead else {})
    if request.method == "POST":
        form = BuyForm(request.POST, request.FILES, sale=sale)
        if answer := answered_before(request) or _bought(request, form, lead, sale):
            return answer
    else:
        form = BuyForm(initial=initial, sale=sale)
    context = {"form": form, "lead": lead, "sale": sale, "makers": known_makers()}
    if sale:
        context["still_to_pay_minor"] = still_to_pay(sale.promise)
    return render(request, "shop/purchase_new.html", context)


def _bought(request, form: BuyForm, lead: Lead | None, sale: Sale | None):
    if only_finds(request, form):
        return None
    if decided := why_decided(lead) if lead else "":
        form.add_error(None, decided)
    if not form.is_valid():
        return None
    scan = form.cleaned_data.get("scan")
    with stored_scan(scan) if scan else nullcontext() as stored:

        def act() -> str:
            purchase = buy(
                seller=_seller(request, form, lead, sale),
                lead=lead,
                sale=sale,
                scan=stored.fields if stored else None,
                by=request.user,
                on=today(),
                **form.terms(),
            )
            if stored:
                stored.keep()
            instrument = purchase.instrument
            paper = f" Print {purchase.own_number}, and have it signed." if purchase.own_number else ""
            messages.success(request, f"Bought as {instrument.stock_number}.{paper}")
            return sale.get_absolute_url() if sale else f"{instrument.get_absolute_url()}#money"

        return act_once(request, form, act)


def _seller(request, form: BuyForm, lead: Lead | None, sale: Sale | None):
    if sale:
        return sale.person.standing_card
    person = form.cleaned_data["person"] or add_person(by=request.user, **form.person_card())
    if address := form.address_for_their_card:
        return correct_person(person=person, by=request.user, address=address)
    return person


def _from_lead(lead: Lead) -> dict:
    """What was told, to be looked at: nothing of it counts as seen before somebody has."""
    keys = str(lead.key_count) if lead.key_count in (85, 88) else ("other" if lead.key_count else "")
    size = "length_cm" if lead.kind == "grand" else "height_cm"
    reason = f"Sold because: {lead.reason_for_sale}" if lead.reason_for_sale else ""
    return {
        "kind": lead.kind,
        "maker": lead.maker,
        "keys": keys,
        "key_count_other": lead.key_count if keys == "other" else None,
        "serial": lead.serial,
        size: lead.height_cm,
        "person": lead.person_id,
        "new_name": "" if lead.person_id else lead.caller,
        "new_telephone": "" if lead.person_id else lead.telephone,
        "new_email": "" if lead.person_id else lead.email,
        "price_minor": lead.offered_minor,
        "protected_told": lead.protected_told,
        "told": "\n".join(filter(None, [lead.story, lead.age_told and _age(lead), reason])),
    }


def _age(lead: Lead) -> str:
    return f"Said to be: {lead.age_told}" + (f" ({lead.age_why})" if lead.age_why else "")


@require_http_methods(["GET", "POST"])
def purchase_invoice(request, stock_number):
    """As it was printed first. Whoever sells prints that of a part exchange alone, and learns of no other."""
    sells, sees_costs = request.user.has_perm("shop.sell"), request.user.has_perm("shop.see_costs")
    if not (sells or sees_costs):
        raise PermissionDenied
    beside = ("seller", "instrument", "corrects", "allowed_against__instrument", "allowed_against__sale")
    purchases = Purchase.objects.filter(instrument__stock_number=stock_number)
    purchase = purchases.select_related(*beside).first()
    if not sees_costs and (purchase is None or not purchase.allowed_against_id):
        raise PermissionDenied
    if purchase is None or not purchase.own_number:
        raise Http404("We wrote no invoice for it.")
    return printed_answer(
        request,
        f"{purchase.own_number}.pdf",
        kept=kept_invoice(purchase),
        keep=lambda: purchase_invoice_paper(purchase=purchase, by=request.user),
    )
