"""Pitch: what the shop tunes to, surveys of notes, the plan to raise it and what the owner chose."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.actions.measures import choose_way, record_pitch, set_house_pitch
from instruments.forms.pitch import HousePitchForm, RaiseChoiceForm
from instruments.forms.surveys import PitchSurveyForm
from instruments.models import HousePitch, house_a4_hz
from instruments.pitch_report import PitchReport
from instruments.views.answers import answer_form, earlier_of, the_instrument


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def house_pitch(request):
    form = HousePitchForm(request.POST or None, initial={"a4_hz": house_a4_hz()})

    def act() -> str:
        pitch = set_house_pitch(by=request.user, **form.cleaned_data)
        messages.success(request, f"The shop tunes to {pitch}.")
        return reverse("instruments:house_pitch")

    context = {
        "form": form,
        "a4_hz": house_a4_hz(),
        "before": HousePitch.objects.select_related("set_by")[:20],
    }
    return answer_form(request, form, act) or render(request, "instruments/house_pitch.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def pitch_survey_add(request, stock_number):
    instrument = the_instrument(stock_number)
    form = PitchSurveyForm(request.POST or None, instrument=instrument, today=timezone.localdate())

    def act() -> str:
        survey = record_pitch(
            instrument=instrument, readings=form.readings, by=request.user, **form.circumstances()
        )
        messages.success(request, f"Pitch of {len(form.readings)} notes saved.")
        return survey.get_absolute_url()

    context = {"form": form, "instrument": instrument}
    return answer_form(request, form, act) or render(request, "instruments/pitch_survey_add.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def pitch_survey_page(request, stock_number, pk):
    return _page(request, the_instrument(stock_number), pk, RaiseChoiceForm())


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def raise_choice(request, stock_number, pk):
    instrument = the_instrument(stock_number)
    survey = get_object_or_404(instrument.pitch_surveys, pk=pk)
    form = RaiseChoiceForm(request.POST)

    def act() -> str:
        choice = choose_way(survey=survey, by=request.user, **form.cleaned_data)
        messages.success(request, f"Written down: {choice.get_way_display().lower()}.")
        return f"{survey.get_absolute_url()}#plan"

    return answer_form(request, form, act) or _page(request, instrument, pk, form)


def _page(request, instrument, pk, form):
    surveys = instrument.pitch_surveys.select_related("measured_by")
    survey = get_object_or_404(surveys, pk=pk)
    others, earlier = earlier_of(survey, surveys, asked=request.GET.get("since", ""))
    context = {
        "instrument": instrument,
        "survey": survey,
        "report": PitchReport(survey, earlier=earlier),
        "others": others,
        "choices": survey.choices.select_related("recorded_by")[:20],
        "form": form,
    }
    return render(request, "instruments/pitch_survey_page.html", context)
