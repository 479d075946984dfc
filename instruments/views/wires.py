"""Plain strings: what is measured of them, and what they pull."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.actions.measures import record_wires
from instruments.calc.wire_surveys import summed
from instruments.forms.wires import WireSurveyForm
from instruments.views.answers import answer_form, the_instrument


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def wire_survey_add(request, stock_number):
    instrument = the_instrument(stock_number)
    form = WireSurveyForm(request.POST or None, instrument=instrument, today=timezone.localdate())

    def act() -> str:
        survey = record_wires(
            instrument=instrument, readings=form.readings, by=request.user, **form.circumstances()
        )
        messages.success(request, f"Strings of {len(form.readings)} keys saved.")
        return survey.get_absolute_url()

    context = {"form": form, "instrument": instrument}
    return answer_form(request, form, act) or render(request, "instruments/wire_survey_add.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def wire_survey_page(request, stock_number, pk):
    instrument = the_instrument(stock_number)
    survey = get_object_or_404(instrument.wire_surveys.select_related("measured_by"), pk=pk)
    wires = survey.wires()
    context = {
        "instrument": instrument,
        "survey": survey,
        "readings": list(zip(survey.readings.all(), wires, strict=True)),
        "sum": summed(wires),
    }
    return render(request, "instruments/wire_survey_page.html", context)
