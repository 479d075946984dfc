"""What a customer answers to a quote, what comes on top of it, and what is paid."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_safe

from instruments.media import serve_file
from instruments.scans import stored_scan
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from shop.actions.commissions import (
    add_extra,
    adopt_touch,
    approve_quote,
    take_back_quote,
    withdraw_commission,
)
from shop.actions.work_money import refund_for_work, take_for_work
from shop.commission_problems import approval_problems, extra_problems, withdrawing_problems
from shop.commissions import standing_of
from shop.forms import PaymentForm, ReleaseForm
from shop.forms.commissions import ApprovalForm, BecauseForm, ExtraForm
from shop.views.answers import act_once, answer_form, today
from shop.views.commissions import the_commission, the_quote
from workorders.currency import in_words


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def quote_approve(request, number, version):
    quote = the_quote(number, version)
    initial = {"approved_by_name": quote.commission.person.name, "approved_on": today(), "way": "signed"}
    form = ApprovalForm(request.POST or None, request.FILES or None, quote=quote, initial=initial)
    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid() and (answer := _approved(request, form, quote)):
            return answer
    problems = approval_problems(standing_of(quote.commission), quote)
    context = {"form": form, "quote": quote, "commission": quote.commission, "problems": problems}
    return render(request, "shop/quote_approve.html", context)


def _approved(request, form: ApprovalForm, quote):
    said = dict(form.cleaned_data)
    said = {name: said[name] for name in ("approved_by_name", "way", "approved_on", "reference")}

    def act(scan=None) -> str:
        approve_quote(quote=quote, scan=scan, agreed=form.agreed(), by=request.user, on=today(), **said)
        messages.success(request, f"Version {quote.version} is approved. Its work may begin.")
        return quote.commission.get_absolute_url()

    if prepared := form.cleaned_data["file"]:
        with stored_scan(prepared) as scan:
            return act_once(request, form, lambda: act(scan))
    return act_once(request, form, act)


@require_safe
@permission_required("shop.sell", raise_exception=True)
def approval_file(request, number, version):
    """The customer's yes as it came, for those who deal with customers."""
    approval = getattr(the_quote(number, version), "approval", None)
    if approval is None or approval.document is None:
        raise Http404("No file was kept with this approval.")
    document = approval.document
    name = document.original_name or f"approval-{number}-{version}"
    return serve_file(request, document.file, media_type=document.media_type, download_name=name)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def quote_cancel(request, number, version):
    quote = the_quote(number, version)

    def act(said) -> None:
        take_back_quote(quote=quote, by=request.user, on=today(), **said)

    return _about(
        request,
        quote.commission,
        BecauseForm(request.POST or None),
        act,
        heading=f"Take version {version} back",
        lede="It no longer stands; a version approved before it holds again.",
        said=f"Version {version} is taken back.",
        save="Take it back",
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def extra_add(request, number):
    commission = the_commission(number)

    def act(said) -> None:
        add_extra(commission=commission, by=request.user, on=today(), **said)

    return _about(
        request,
        commission,
        ExtraForm(request.POST or None),
        act,
        problems=extra_problems(standing_of(commission), 1),
        heading="A small extra",
        lede="Inside what the customer agreed to beforehand. Anything more is a change to be approved.",
        said="The extra is on the account.",
        save="Add it",
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def commission_withdraw(request, number):
    commission = the_commission(number)

    def act(said) -> None:
        withdraw_commission(commission=commission, by=request.user, on=today(), **said)

    return _about(
        request,
        commission,
        BecauseForm(request.POST or None),
        act,
        problems=withdrawing_problems(standing_of(commission)),
        heading="They no longer wish it",
        lede="Its work order is given up and nothing more is to be paid. What was paid can be given back.",
        said=f"{number} is withdrawn.",
        save="Withdraw it",
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def work_pay(request, number):
    commission = the_commission(number)
    to_pay = standing_of(commission).to_pay_minor

    def act(said) -> None:
        take_for_work(commission=commission, by=request.user, on=today(), **said)

    return _about(
        request,
        commission,
        PaymentForm(request.POST or None, initial={"amount_minor": to_pay or None}),
        act,
        heading="A payment for work",
        lede=f"{in_words(to_pay)} is still to pay for what was approved. It counts toward no price.",
        said="Received.",
        save="Take the payment",
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def work_refund(request, number):
    commission = the_commission(number)
    back = standing_of(commission).to_give_back_minor

    def act(said) -> None:
        refund_for_work(commission=commission, by=request.user, on=today(), **said)

    return _about(
        request,
        commission,
        PaymentForm(request.POST or None, initial={"amount_minor": back or None}),
        act,
        heading="Give money back",
        lede=f"{in_words(back)} more was paid than is agreed." if back else "Nothing is paid too much.",
        said="Given back.",
        save="Give it back",
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def touch_adopt(request, number):
    """The instrument's own target changes by this press alone."""
    commission = the_commission(number)

    def act(said) -> None:
        adopt_touch(commission=commission, by=request.user)

    return _about(
        request,
        commission,
        ReleaseForm(request.POST or None),
        act,
        heading="Make it the instrument’s own target",
        lede=f"From then on every weigh-off is held to {commission.order.own_touch_words or 'it'}.",
        said="The instrument’s own touch target is now this one.",
        save="Make it so",
    )


def _about(request, commission, form, act, *, said: str, **page):
    def acted() -> str:
        act(form.cleaned_data)
        messages.success(request, said)
        return commission.get_absolute_url()

    if answer := answer_form(request, form, acted):
        return answer
    context = {"form": form, "commission": commission, "problems": [], **page}
    return render(request, "shop/commission_act.html", context)
