"""Call-backs: what a customer tells of after the sale or on trial, until it is closed."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.problems import Blocker, Refused
from shop.actions.call_backs import (
    answer_call_back,
    close_call_back,
    confirm_call_back,
    judge_call_back,
    order_call_back,
    promise_called_back_on,
    standing_of,
    take_call_back,
)
from shop.actions.care_terms import usual_terms
from shop.after_care import care_of, standing_sale_of
from shop.call_back_costs import cost_of_call_back, is_guarantee_work
from shop.care_problems import answering_problems, closing_problems, judging_cautions, ordering_problems
from shop.forms.call_backs import AnswerForm, CallBackForm, CloseCallBackForm, ConfirmForm, JudgeForm
from shop.models import CallBack
from shop.private_names import without_name
from shop.views.answers import answer_form, the_instrument, today

WITH_NOBODY = "Nobody has it from us by a sale or on a home trial, so there is nobody who could call back."


def words_for(call_back: CallBack, user) -> str:
    """What was told, in their words; for those who see no people without the name."""
    if user.has_perm("shop.see_people"):
        return call_back.words
    return without_name(call_back.words, call_back.person.name)


def the_call_back(number: str) -> CallBack:
    rows = CallBack.objects.select_related("instrument", "person", "promise", "order")
    return get_object_or_404(rows, number=number)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def call_back_add(request, stock_number):
    instrument = the_instrument(stock_number)
    promise = promise_called_back_on(instrument)
    sale = standing_sale_of(instrument)
    terms = care_of(sale, on=today()).terms if sale else None
    parts = (terms or usual_terms()).parts
    form = CallBackForm(request.POST or None, parts=parts, promise=promise, initial={"told_on": today()})

    def act() -> str:
        call_back = take_call_back(instrument=instrument, by=request.user, on=today(), **form.call_back())
        messages.success(
            request, f"{call_back.number} is taken down: answer by {call_back.answer_by:%-d %B %Y}."
        )
        return call_back.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "instrument": instrument,
        "promise": promise,
        "problems": [] if promise else [Blocker(WITH_NOBODY)],
    }
    return render(request, "shop/call_back_form.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def call_back_page(request, number):
    """Whoever looks at pianos reads it; whoever deals with the customer acts on it."""
    call_back = the_call_back(number)
    deals = request.user.has_perm("shop.sell")
    is_to_do = deals and call_back.is_open
    closing = closing_problems(call_back) if is_to_do else []
    context = {
        "call_back": call_back,
        "words": words_for(call_back, request.user),
        "judgements": call_back.judgements.select_related("recorded_by")[:20],
        "answers": call_back.answers.select_related("recorded_by")[:20],
        "visits": call_back.visits.with_done_on().select_related("who")[:20],
        "problems": judging_cautions(call_back, standing_of(call_back, on=today())) if is_to_do else [],
        "deals": deals,
        "may_answer": deals and not answering_problems(call_back),
        "may_order": deals and not ordering_problems(call_back),
        "may_close": is_to_do and not closing,
        "closing": closing,
        "is_guaranteed": is_guarantee_work(call_back),
        "cost": cost_of_call_back(call_back) if request.user.has_perm("shop.see_costs") else None,
        "today": today(),
    }
    return render(request, "shop/call_back_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def call_back_judge(request, number):
    call_back = the_call_back(number)
    form = JudgeForm(request.POST or None)

    def act() -> str:
        judgement = judge_call_back(call_back=call_back, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Judged: {judgement.get_verdict_display().lower()}. Tell the customer.")
        return call_back.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "call_back": call_back,
        "problems": judging_cautions(call_back, standing_of(call_back, on=today())),
        "heading": "Judge it",
        "save": "Judge it so",
    }
    return render(request, "shop/call_back_act.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def call_back_answer(request, number):
    """What the customer was told, written down when they were."""
    call_back = the_call_back(number)
    form = AnswerForm(
        request.POST or None, told_on=call_back.told_on, initial={"answered_on": today(), "how": "telephone"}
    )

    def act() -> str:
        answer_call_back(call_back=call_back, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, "What they were told is written down.")
        return call_back.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "call_back": call_back,
        "problems": answering_problems(call_back),
        "heading": "What they were told",
        "save": "Write it down",
    }
    return render(request, "shop/call_back_act.html", context)


@require_POST
@permission_required("shop.sell", raise_exception=True)
def call_back_order(request, number):
    """A work order for the bench, at one press."""
    call_back = the_call_back(number)
    try:
        order = order_call_back(call_back=call_back, by=request.user, on=today())
    except Refused as refused:
        messages.error(request, str(refused))
        return redirect(call_back)
    messages.success(request, f"Work order {order.number} is open.")
    return redirect(call_back)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def call_back_close(request, number):
    call_back = the_call_back(number)
    form = CloseCallBackForm(request.POST or None, told_on=call_back.told_on)

    def act() -> str:
        close_call_back(call_back=call_back, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{number} is closed.")
        return call_back.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "call_back": call_back,
        "problems": closing_problems(call_back),
        "heading": "Close it",
        "save": "Close the call-back",
    }
    return render(request, "shop/call_back_act.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def call_back_confirm(request, number):
    """The customer’s own word, where it was closed as put right without it."""
    call_back = the_call_back(number)
    form = ConfirmForm(request.POST or None, told_on=call_back.told_on, initial={"confirmed_on": today()})

    def act() -> str:
        confirm_call_back(call_back=call_back, by=request.user, **form.cleaned_data)
        messages.success(request, "Written down that they say so too.")
        return call_back.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    waits = call_back.waits_for_their_word
    context = {
        "form": form,
        "call_back": call_back,
        "problems": [] if waits else [Blocker(f"{number} does not wait for the customer’s word.")],
        "heading": "The customer says that it is right",
        "save": "Write it down",
    }
    return render(request, "shop/call_back_act.html", context)
