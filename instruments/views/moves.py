from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from instruments.actions.moves import move_instrument
from instruments.forms.moves import MoveForm
from instruments.views.answers import answer_form, the_instrument

MOST_MOVES = 40


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def move_record(request, stock_number):
    instrument = the_instrument(stock_number)
    form = MoveForm(request.POST or None, today=timezone.localdate())

    def act() -> str:
        moved = form.cleaned_data
        move = move_instrument(
            instrument=instrument,
            place=moved["place"],
            note=moved["note"],
            by=request.user,
            on=moved["moved_on"],
        )
        messages.success(request, f"{move.get_place_display()}.")
        return instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    moves = instrument.moves.select_related("recorded_by")[:MOST_MOVES]
    context = {"form": form, "instrument": instrument, "moves": moves}
    return render(request, "instruments/move_record.html", context)
