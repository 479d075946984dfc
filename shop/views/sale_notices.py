"""The buyer says that the sale is to end: the clock starts here, and the ending itself carries it out."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.views.decorators.http import require_http_methods

from shop.actions.sale_notices import give_notice, take_notice_back
from shop.forms.sale_course import NoticeBackForm, NoticeForm
from shop.refund_days import refund_day
from shop.sale_day_words import legal_days, not_worked_out
from shop.sale_days import days_of_sale
from shop.sale_notice_problems import notice_of
from shop.states import SaleEndingKind
from shop.views.answers import today
from shop.views.sale_course import ADVICE, answer_of_sale, the_sale_with_its_trial

KEPT = ("kind", "told_on", "reason", "collection_offered", "agreed_on", "sent_on", "back_on")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_notice(request, number):
    sale = the_sale_with_its_trial(number)
    days, before = days_of_sale(sale), notice_of(sale)
    initial = {name: getattr(before, name) for name in KEPT} if before else _first(days)
    form = NoticeForm(request.POST or None, initial=initial)

    def act() -> str:
        notice = give_notice(sale=sale, by=request.user, **form.cleaned_data)
        day = refund_day(sale, notice)
        when = f"To be given back by {day.by:%-d %B %Y}" if day.by else "To be given back"
        messages.success(request, f"Written down. {when}: {day.words}.")
        return sale.get_absolute_url()

    return answer_of_sale(
        request,
        sale,
        form,
        act,
        heading="The buyer ends the sale",
        lede="What they told us, and what has happened since. Nothing is paid back and the books stay as "
        "they are until the sale is ended. " + ADVICE,
        legal_lines=legal_days(days),
        not_worked_out=not_worked_out(days),
        on=today(),
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_notice_back(request, number):
    sale = the_sale_with_its_trial(number)
    standing = notice_of(sale)
    if standing is None and request.method == "GET":
        raise Http404("Nobody has asked to end this sale.")
    form = NoticeBackForm(request.POST or None)

    def act() -> str:
        take_notice_back(sale=sale, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, "Written down: the sale stands.")
        return sale.get_absolute_url()

    return answer_of_sale(
        request,
        sale,
        form,
        act,
        heading="They keep it after all",
        lede="The notice to end the sale is taken back, and the sale stands as it was.",
    )


def _first(days) -> dict:
    """What is likeliest: as of right away from the shop, else called off before it goes out."""
    if days.may_cancel and not (days.cancel_until and days.cancel_until < today()):
        kind = SaleEndingKind.RIGHT
    elif days.delivered_on is None:
        kind = SaleEndingKind.CANCELLED
    else:
        kind = SaleEndingKind.REJECTED if _may_reject(days) else SaleEndingKind.GOODWILL
    return {"kind": kind, "told_on": today(), "collection_offered": True}


def _may_reject(days) -> bool:
    return days.is_worked_out and not (days.reject_until and days.reject_until < today())
