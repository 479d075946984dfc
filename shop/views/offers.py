"""The most we may pay for a piano, each line visible, and how it moves with each figure."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.forms import model_to_dict
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from instruments.forms.fields import MOST_DIGITS
from instruments.problems import Refused
from shop.actions.offers import keep_calculation
from shop.calc.offer import SWUNG
from shop.forms.offer import OfferForm
from shop.lead_problems import offer_cautions
from shop.models import OfferCalculation
from shop.offers import beginning_of, figures_of, figures_on, lines_of, swing_picture, swings_of
from shop.states import LeadState
from shop.views.answers import answer_form, the_instrument, today
from shop.views.leads import the_lead


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def lead_offer(request, number):
    lead = the_lead(number)
    return _offer(request, lead=lead, back=lead.get_absolute_url())


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def instrument_offer(request, stock_number):
    instrument = the_instrument(stock_number)
    return _offer(request, instrument=instrument, back=instrument.get_absolute_url())


def _offer(request, *, back: str, **about):
    kept = OfferCalculation.objects.filter(**about).select_related("recorded_by")
    chosen = _chosen(kept, request.GET.get("from", ""))
    initial = beginning_of(about.get("lead"), about.get("instrument"), on=today())
    if chosen:
        initial = model_to_dict(chosen, fields=SWUNG)
    form = OfferForm(request.POST or None, initial=initial)

    def act() -> str:
        row = keep_calculation(
            **about, values=form.values(), note=form.cleaned_data["note"], by=request.user, on=today()
        )
        messages.success(request, "Kept, with the day. An offer names what it rested on.")
        return f"{request.path}?from={row.pk}"

    only_shown = "show" in request.POST
    if not only_shown and (answer := answer_form(request, form, act)):
        return answer
    figures = _figures(form, chosen)
    context = about | {
        "form": form,
        "back": back,
        "chosen": None if request.POST else chosen,
        "kept": kept[:20],
    }
    if (lead := about.get("lead")) and lead.state == LeadState.OFFERED:
        context["problems"] = offer_cautions(lead.offered_minor, kept.first())
    if figures:
        context |= {"figures": figures, "lines": lines_of(figures), "swings": swings_of(figures)}
        context |= {"picture": swing_picture(figures)}
    return render(request, "shop/offer.html", context)


def _chosen(kept, asked: str) -> OfferCalculation | None:
    """The one asked for; else the newest."""
    if asked.isdecimal() and len(asked) <= MOST_DIGITS and (row := kept.filter(pk=asked).first()):
        return row
    return kept.first()


def _figures(form: OfferForm, chosen: OfferCalculation | None):
    if form.is_bound:
        return _worked_out(form) if form.is_valid() else None
    return figures_of(chosen) if chosen else None


def _worked_out(form: OfferForm):
    try:
        return figures_on(today(), form.values())
    except Refused as refused:
        form.add_error(None, refused.sentences)
        return None
