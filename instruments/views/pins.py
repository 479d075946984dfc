"""Tuning pins: the lines the shop counts by, surveys, and what a later survey shows of an earlier one."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.actions.measures import keep_pin_line, record_pins
from instruments.forms.pin_lines import PinLineForm
from instruments.forms.surveys import PinSurveyForm
from instruments.models import PinLine
from instruments.pin_report import pin_report
from instruments.views.answers import answer_form, earlier_of, the_instrument

MOST_LINES = 100


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def pin_survey_add(request, stock_number):
    instrument = the_instrument(stock_number)
    form = PinSurveyForm(request.POST or None, instrument=instrument, today=timezone.localdate())

    def act() -> str:
        survey = record_pins(
            instrument=instrument, readings=form.readings, by=request.user, **form.circumstances()
        )
        messages.success(request, f"Survey of {len(form.readings)} pins saved.")
        return survey.get_absolute_url()

    context = {"form": form, "instrument": instrument}
    return answer_form(request, form, act) or render(request, "instruments/pin_survey_add.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def pin_survey_page(request, stock_number, pk):
    instrument = the_instrument(stock_number)
    surveys = instrument.pin_surveys.select_related("measured_by")
    survey = get_object_or_404(surveys, pk=pk)
    others, earlier = earlier_of(survey, surveys, asked=request.GET.get("since", ""))
    context = {
        "instrument": instrument,
        "survey": survey,
        "report": pin_report(survey, earlier=earlier),
        "others": others,
    }
    return render(request, "instruments/pin_survey_page.html", context)


@require_GET
@permission_required("instruments.keep_library", raise_exception=True)
def pin_lines(request):
    lines = sorted(PinLine.objects.all()[:MOST_LINES], key=lambda line: line.torque_nm, reverse=True)
    return render(request, "instruments/pin_lines.html", {"lines": lines})


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def pin_line_add(request):
    form = PinLineForm(request.POST or None)

    def act() -> str:
        line = keep_pin_line(line=form.filled(), by=request.user)
        messages.success(request, f"Pins are counted below {line}.")
        return reverse("instruments:pin_lines")

    context = {"form": form}
    return answer_form(request, form, act) or render(request, "instruments/pin_line_form.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def pin_line_edit(request, pk):
    line = get_object_or_404(PinLine, pk=pk)
    form = PinLineForm(request.POST or None, line=line)

    def act() -> str:
        keep_pin_line(line=form.filled(), by=request.user)
        messages.success(request, f"Changed: below {line}.")
        return reverse("instruments:pin_lines")

    if answer := answer_form(request, form, act):
        return answer
    changes = line.history.select_related("history_user")[:20]
    context = {"form": form, "line": line, "changes": changes}
    return render(request, "instruments/pin_line_form.html", context)
