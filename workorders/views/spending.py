"""Time and parts given to an item, and the rates that cost an hour."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from instruments.problems import Refused
from workorders.actions.bench import log_time, set_rate, take_back_part, take_back_time, use_parts
from workorders.calc.durations import minutes_words
from workorders.forms.spending import PartForm, RateForm, TimeForm
from workorders.models import BenchRate, PartUsed, TimeSpent
from workorders.rates import rates_on
from workorders.views.answers import answer_or_show, the_item, today

RATES_SHOWN = 50


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_time(request, pk):
    item = the_item(pk)
    form = TimeForm(request.POST or None, by=request.user)

    def act() -> str:
        entry = log_time(item=item, by=request.user, **form.cleaned_data)
        messages.success(request, f"{minutes_words(entry.minutes)} written down.")
        return item.get_absolute_url()

    return _about(request, item, form, act, heading="Time spent", save="Write it down")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_part(request, pk):
    item = the_item(pk)
    form = PartForm(request.POST or None, item=item)

    def act() -> str:
        used = use_parts(item=item, uses=form.uses, by=request.user, on=form.cleaned_data["on"])
        messages.success(request, f"{'; '.join(str(entry) for entry in used)} written down.")
        return item.get_absolute_url()

    page = {"heading": "Parts and material", "save": "Write it down"}
    return _about(request, item, form, act, template="workorders/item_part.html", **page)


@require_POST
@permission_required("workorders.do_work", raise_exception=True)
def time_take_back(request, pk):
    entry = get_object_or_404(TimeSpent.objects.select_related("item__order"), pk=pk)
    return _taken_back(request, entry, take_back_time)


@require_POST
@permission_required("workorders.do_work", raise_exception=True)
def part_take_back(request, pk):
    entry = get_object_or_404(PartUsed.objects.select_related("item__order"), pk=pk)
    return _taken_back(request, entry, take_back_part)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def rate_list(request):
    form = RateForm(request.POST or None)

    def act() -> str:
        set_rate(by=request.user, **form.cleaned_data)
        messages.success(request, "Rate set.")
        return reverse("workorders:rate_list")

    return answer_or_show(
        request,
        form,
        act,
        template="workorders/rate_list.html",
        now=rates_on(today()),
        today=today(),
        rates=BenchRate.objects.select_related("person", "set_by")[:RATES_SHOWN],
    )


def _taken_back(request, entry, take_back):
    try:
        take_back(entry=entry, by=request.user)
        messages.success(request, f"Taken back: {entry}.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect(entry.item)


def _about(request, item, form, act, **page):
    return answer_or_show(
        request, form, act, above=item, about=item.order.instrument, back=item.get_absolute_url(), **page
    )
