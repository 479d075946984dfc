"""The walk itself: one station of a condition report on one page, saved as it goes."""

from contextlib import ExitStack

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.actions.condition_reports import write_line
from instruments.actions.waiting_photos import keep_waiting, take_waiting, waiting_photos
from instruments.calc.compass import count_word
from instruments.form_token import form_token_of
from instruments.forms.findings import StationForm
from instruments.models import ConditionReport
from instruments.photos import stored_photos
from instruments.problems import purchase_problems, report_problems
from instruments.states import Station
from instruments.views.answers import act_once, the_instrument
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from instruments.walks import walk_of


def the_report(stock_number: str, pk: int) -> ConditionReport:
    reports = ConditionReport.objects.select_related("instrument", "begun_by", "closed_by")
    return get_object_or_404(reports, pk=pk, instrument__stock_number=stock_number)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def findings_record(request, stock_number):
    """The way to the walk from everywhere: on with the report that is open, or to begin one."""
    instrument = the_instrument(stock_number)
    report = instrument.condition_reports.open().first()
    if report is None:
        return redirect("instruments:condition_begin", stock_number)
    return redirect(walk_on(report))


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_station(request, stock_number, pk, station):
    if station not in Station.values:
        raise Http404("There is no such station.")
    report = the_report(stock_number, pk)
    walk = walk_of(report)
    form = StationForm(
        request.POST or None, request.FILES or None, station=Station(station), walk=walk, user=request.user
    )
    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid() and (answer := _written(request, report, form)):
            return answer
        _keep_photos(request, form)
    context = {
        "instrument": report.instrument,
        "report": report,
        "walk": walk,
        "form": form,
        "problems": report_problems(report) + purchase_problems(walk.findings),
    }
    return render(request, "instruments/condition_station.html", context)


def _written(request, report: ConditionReport, form: StationForm):
    with ExitStack() as stack:
        stored = [(part, stack.enter_context(stored_photos(part.received.prepared))) for part in form.touched]

        def act() -> str:
            for part, pictures in stored:
                waited = take_waiting(form_token=_token(request, part), by=request.user)
                write_line(
                    report=report,
                    by=request.user,
                    on=_day_of(report),
                    pictures=[*waited, *pictures],
                    **part.found(),
                )
                pictures.keep()
            messages.success(request, _said(form))
            return walk_on(report, after=form.station)

        return act_once(request, form, act)


def _said(form: StationForm) -> str:
    count = len(form.touched)
    return f"{form.station.label}: {count_word(count)} part{'s' * (count > 1)} written down."


def _day_of(report: ConditionReport):
    """What is written on the day the report was begun belongs to its day; later lines to their own."""
    today = timezone.localdate()
    return report.looked_on if timezone.localdate(report.begun_at) == today else today


def _keep_photos(request, form: StationForm) -> None:
    """A picture is not taken twice: what came with a form that is not accepted yet waits for it."""
    for part in form.parts:
        if form_token_of(request):
            keep_waiting(form_token=_token(request, part), prepared=part.received.prepared, by=request.user)
            part.waiting = waiting_photos(form_token=_token(request, part), by=request.user).last()


def _token(request, part) -> str:
    token = form_token_of(request)
    return f"{token}.{part.part}" if token else ""


def walk_on(report: ConditionReport, *, after: Station | None = None) -> str:
    """The station to go to next: from `after` on and round again, the first with a part not looked at.

    The report itself when there is none.
    """
    left = [each.station for each in walk_of(report).stations if not each.is_done]
    if not left:
        return report.get_absolute_url()
    stations = list(Station)
    ahead = [station for station in left if after and stations.index(station) > stations.index(after)]
    station = (ahead or left)[0]
    return reverse("instruments:condition_station", args=[report.instrument.stock_number, report.pk, station])
