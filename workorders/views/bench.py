"""The bench: what one person can do now across all instruments, and the timer of what they are at."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.problems import Refused
from instruments.views.once import answered_before, once
from workorders.actions.timers import (
    NOTHING_RUNS,
    pause_timer,
    running_timer,
    settle_timer,
    start_timer,
    stop_timer_on,
)
from workorders.bench_lists import bench_lists
from workorders.bench_problems import TimerForgotten
from workorders.calc.durations import minutes_words
from workorders.forms.bench import SettleForm
from workorders.models import BenchTimer, WorkItem
from workorders.views.answers import answer_or_show, the_item, today

BENCH = "workorders:bench"


@require_GET
@permission_required("workorders.do_work", raise_exception=True)
def bench(request):
    lists = bench_lists(request.user, now=timezone.now())
    return render(request, "workorders/bench.html", {"lists": lists, "today": today()})


@require_POST
@permission_required("workorders.do_work", raise_exception=True)
def timer_start(request, pk):
    item = the_item(pk)

    def act() -> str:
        started = start_timer(item=item, by=request.user, at=timezone.now())
        if started.paused:
            messages.info(request, f"“{started.paused.item.name}” is paused. {written_words(started.paused)}")
        messages.success(request, f"You are at “{item.name}”.")
        return reverse(BENCH)

    return _press(request, act)


@require_POST
@permission_required("workorders.do_work", raise_exception=True)
def timer_pause(request):
    def act() -> str:
        timer = pause_timer(by=request.user, at=timezone.now())
        messages.success(request, f"“{timer.item.name}” is paused. {written_words(timer)}")
        return reverse(BENCH)

    return _press(request, act)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def timer_settle(request):
    """A timer that was left running: how long was it really?"""
    now, timer = timezone.now(), running_timer(request.user)
    form = SettleForm(request.POST or None)

    def act() -> str:
        settled = settle_timer(by=request.user, at=now, **form.cleaned_data)
        messages.success(request, f"“{settled.item.name}”: {written_words(settled)}")
        return reverse(BENCH)

    if timer is None and not (request.method == "POST" and answered_before(request)):
        messages.info(request, NOTHING_RUNS)
        return redirect(BENCH)
    return answer_or_show(
        request, form, act, template="workorders/timer_settle.html", timer=timer, now=now, back=reverse(BENCH)
    )


def minutes_running_on(item: WorkItem, person) -> int | None:
    """What a person's timer has counted on an item so far; None when it does not run there."""
    timer = running_timer(person)
    return timer.minutes_at(timezone.now()) if timer and timer.item_id == item.pk else None


def after_closing(request, item: WorkItem) -> str:
    """Stop the timer of whoever finished an item, in the act that closes it; the address to go to."""
    # Whoever starts a timer on it holds the item, as this act does: where none runs now, none will.
    if minutes_running_on(item, request.user) is not None:
        if stopped := stop_timer_on(item=item, by=request.user, at=timezone.now()):
            messages.info(request, f"The timer is stopped. {written_words(stopped)}")
        elif minutes_running_on(item, request.user) is not None:
            return reverse("workorders:timer_settle")
    if request.GET.get("then") == "bench":
        return reverse(BENCH)
    return f"{item.order.get_absolute_url()}#item-{item.pk}"


def written_words(timer: BenchTimer) -> str:
    if not timer.minutes:
        return "Nothing is written down for it."
    return f"{minutes_words(timer.minutes)} {'is' if timer.minutes == 1 else 'are'} written down."


def _press(request, act):
    """A button of the bench: it acts once, and the bench says what became of it."""
    if answer := answered_before(request):
        return answer
    try:
        if answer := once(request, act):
            return answer
    except TimerForgotten as forgotten:
        messages.warning(request, str(forgotten))
        return redirect("workorders:timer_settle")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect(BENCH)
