"""Work outside: asked for, priced, sent, promised, back, billed, cancelled."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.db.models import F
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.problems import Refused
from workorders.actions.outside import (
    agree_price,
    ask_outside,
    bill_outside,
    bring_back,
    cancel_outside,
    describe_outside,
    promise_anew,
    send_out,
    take_back_bill,
)
from workorders.costs import outside_jobs_costed
from workorders.documents.outside_note import build_outside_note
from workorders.forms.orders import ReasonForm
from workorders.forms.outside import BackForm, BillForm, OutsideForm, PriceForm, PromiseForm, SendForm
from workorders.models import OutsideBill, OutsideJob
from workorders.outside_papers import outside_note_of
from workorders.outside_problems import cancelling_problems, sending_problems
from workorders.views.answers import answer_or_show, the_order, today

JOBS_A_PAGE = 40
BILLS_SHOWN = 30


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def outside_list(request):
    state = "closed" if request.GET.get("state") == "closed" else "open"
    jobs = OutsideJob.objects.select_related("outworker", "order__instrument")
    soonest = F("promised_on").asc(nulls_last=True)
    jobs = jobs.open().order_by(soonest, "id") if state == "open" else jobs.closed()
    page = Paginator(jobs, JOBS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "workorders/outside_list.html", {"page": page, "state": state})


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def outside_page(request, number):
    job = the_job(number)
    context = {
        "job": job,
        "items": job.items.order_by("rank", "id"),
        "bills": job.bills.select_related("recorded_by", "corrected_by")[:BILLS_SHOWN],
        "late": job.days_overdue(today()),
    }
    return render(request, "workorders/outside_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def outside_ask(request, number):
    order = the_order(number)
    asked = request.GET.get("item", "")
    initial = {"items": [asked]} if asked.isascii() and asked.isdigit() else {}
    form = OutsideForm(request.POST or None, order=order, initial=initial)

    def act() -> str:
        job = ask_outside(order=order, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{job.number} is asked for.")
        return job.get_absolute_url()

    return answer_or_show(
        request,
        form,
        act,
        template="workorders/outside_ask.html",
        order=order,
        heading="Give work out",
        back=order.get_absolute_url(),
        save="Ask for it",
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def outside_edit(request, number):
    job = the_job(number)
    form = OutsideForm(request.POST or None, order=job.order, job=job)

    def act() -> str:
        describe_outside(job=job, by=request.user, **form.cleaned_data)
        messages.success(request, "Saved.")
        return job.get_absolute_url()

    return answer_or_show(
        request,
        form,
        act,
        template="workorders/outside_ask.html",
        order=job.order,
        heading="What is asked for",
        back=job.get_absolute_url(),
        save="Save",
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.agree_prices", raise_exception=True)
def outside_price(request, number):
    job = the_job(number)
    form = PriceForm(
        request.POST or None, initial={"quoted_minor": job.quoted_minor, "agreed_minor": job.agreed_minor}
    )

    def act() -> str:
        agree_price(job=job, by=request.user, **form.cleaned_data)
        messages.success(request, "The price is written down.")
        return job.get_absolute_url()

    return _about(request, job, form, act, heading="What it will cost", save="Save")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def outside_send(request, number):
    job = the_job(number)
    initial = {"goes": job.goes, "what_goes": job.what_goes, "on": today(), "promised_on": job.promised_on}
    form = SendForm(request.POST or None, initial=initial)

    def act() -> str:
        sent = send_out(job=job, by=request.user, **form.cleaned_data)
        messages.success(request, f"{sent.number} is {sent.under_way_words(today())}.")
        return job.get_absolute_url()

    problems = sending_problems(job, goes=form["goes"].value() or job.goes, on=today(), promised_on=None)
    return _about(request, job, form, act, heading="It goes out", problems=problems, save="It is gone")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def outside_promise(request, number):
    job = the_job(number)
    form = PromiseForm(request.POST or None, initial={"promised_on": job.promised_on})

    def act() -> str:
        promise_anew(job=job, by=request.user, **form.cleaned_data)
        messages.success(request, "The new day is written down.")
        return job.get_absolute_url()

    return _about(request, job, form, act, heading="When is it promised?", save="Save")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def outside_back(request, number):
    job = the_job(number)
    form = BackForm(request.POST or None, job=job, initial={"on": today()})

    def act() -> str:
        bring_back(job=job, by=request.user, **form.cleaned_data)
        messages.success(request, f"{job.number} is back.")
        return job.get_absolute_url()

    went = f"It went like this: {job.sent_condition}" if job.sent_condition else ""
    return _about(request, job, form, act, heading="It is back", lede=went, save="It is back")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def outside_cancel(request, number):
    job = the_job(number)
    form = ReasonForm(request.POST or None)

    def act() -> str:
        cancel_outside(job=job, by=request.user, **form.cleaned_data)
        messages.success(request, f"{job.number} is cancelled.")
        return job.get_absolute_url()

    return _about(
        request,
        job,
        form,
        act,
        heading="Cancel it",
        lede="What has been billed stays a cost; nothing more is to come.",
        problems=cancelling_problems(job),
        save="Cancel it",
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.agree_prices", raise_exception=True)
def outside_bill(request, number):
    job = the_job(number)
    form = BillForm(request.POST or None, initial={"on": today()})

    def act() -> str:
        bill_outside(job=job, by=request.user, **form.bill())
        messages.success(request, "The bill is written down and counts toward the instrument's cost.")
        return job.get_absolute_url()

    return _about(request, job, form, act, heading="What they billed", save="Write it down")


@require_POST
@permission_required("workorders.agree_prices", raise_exception=True)
def bill_take_back(request, pk):
    bill = get_object_or_404(OutsideBill.objects.select_related("job__order"), pk=pk)
    try:
        take_back_bill(bill=bill, by=request.user)
        messages.success(request, "The bill is taken back. Both lines stay.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect(bill.job)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def outside_note(request, number):
    job = the_job(number)
    return HttpResponse(
        build_outside_note(outside_note_of(job, on=today())),
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="{job.number}.pdf"',
            "Cache-Control": "private, no-store",
        },
    )


def the_job(number: str) -> OutsideJob:
    jobs = outside_jobs_costed().select_related("outworker", "order__instrument", "photo")
    return get_object_or_404(jobs, number=number)


def _about(request, job, form, act, **page):
    return answer_or_show(
        request, form, act, above=job, about=job.order.instrument, back=job.get_absolute_url(), **page
    )
