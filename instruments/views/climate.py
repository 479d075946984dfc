"""The air of rooms, ours and customers', and what a move from one to another does to a piano."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.actions.measures import record_climate
from instruments.calc.room_moves import room_move
from instruments.climate_report import RoomReading, known_rooms, newest_of_rooms
from instruments.forms.climate import ClimateForm, RoomMoveForm
from instruments.models import ClimateReading
from instruments.views.answers import answer_form

MOST_READINGS = 60


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def climate(request):
    readings = ClimateReading.objects.select_related("read_by", "instrument")[:MOST_READINGS]
    form = RoomMoveForm(request.GET if request.GET else None)
    chosen = form.cleaned_data if form.is_bound and form.is_valid() else None
    context = {
        "rooms": newest_of_rooms(),
        "readings": [RoomReading(reading) for reading in readings],
        "form": form,
        "chosen": chosen,
        "move": room_move(chosen["before"].air, chosen["after"].air) if chosen else None,
    }
    return render(request, "instruments/climate.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def climate_add(request):
    beside = request.GET.get("stock", "")[:30]
    form = ClimateForm(request.POST or None, today=timezone.localdate(), beside=beside)

    def act() -> str:
        reading = record_climate(by=request.user, **form.reading())
        messages.success(request, f"On file: {reading}.")
        if reading.instrument:
            return reverse("instruments:measures", args=[reading.instrument.stock_number])
        return reverse("instruments:climate")

    context = {"form": form, "rooms": known_rooms()}
    return answer_form(request, form, act) or render(request, "instruments/climate_add.html", context)
