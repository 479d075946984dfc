"""Hours at the bench and days away: kept by those who run the bench, each technician sees their own."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.problems import Refused
from workorders.actions.bench_hours import record_days_away, set_hours, take_back_days_away
from workorders.bench_hours import people_at_bench
from workorders.forms.bench_hours import DaysAwayForm, HoursForm
from workorders.forms.fields import bench_people
from workorders.models import DaysAway
from workorders.models.bench_hours import WEEKDAYS
from workorders.views.answers import answer_or_show, today


@require_GET
@permission_required("workorders.do_work", raise_exception=True)
def bench_hours(request):
    keeps = request.user.has_perm("workorders.run_bench")
    people = bench_people() if keeps else [request.user]
    return render(
        request, "workorders/bench_hours.html", {"people": people_at_bench(list(people), on=today())}
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def bench_hours_set(request):
    form = HoursForm(request.POST or None, initial=_hours_of(request.GET.get("person", "")))

    def act() -> str:
        hours = set_hours(by=request.user, **form.chosen())
        messages.success(request, f"Hours of {_named(hours.person)} from {hours.since:%-d %B %Y} set.")
        return reverse("workorders:bench_hours")

    return answer_or_show(request, form, act, template="workorders/bench_hours_set.html")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def days_away_add(request):
    form = DaysAwayForm(request.POST or None, initial={"person": request.GET.get("person", "")})

    def act() -> str:
        away = record_days_away(by=request.user, **form.cleaned_data)
        messages.success(request, f"{_named(away.person)} is away: {away}.")
        return reverse("workorders:bench_hours")

    return answer_or_show(request, form, act, template="workorders/days_away_add.html")


@require_POST
@permission_required("workorders.run_bench", raise_exception=True)
def days_away_take_back(request, pk):
    away = get_object_or_404(DaysAway.objects.select_related("person"), pk=pk)
    try:
        take_back_days_away(days_away=away, by=request.user)
        messages.success(request, f"{_named(away.person)} is at the bench after all: {away}.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("workorders:bench_hours")


def _hours_of(asked: str) -> dict:
    """The person asked for with the hours that hold, to start from."""
    person = bench_people().filter(pk=asked).first() if asked.isdecimal() and len(asked) < 10 else None
    if person is None:
        return {}
    holding = people_at_bench([person], on=today())[0].holding
    week = {day: getattr(holding, day) or None for day in WEEKDAYS} if holding else {}
    return {"person": person.pk} | week


def _named(person) -> str:
    return person.get_full_name() or person.get_username()
