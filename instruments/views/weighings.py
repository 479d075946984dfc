from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.actions.weighing import record_weighing
from instruments.forms.weighings import WeighOffForm
from instruments.touch import verdict_of
from instruments.views.answers import answer_form, the_instrument


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def weighing_add(request, stock_number):
    instrument = the_instrument(stock_number)
    form = WeighOffForm(request.POST or None, instrument=instrument, today=timezone.localdate())

    def act() -> str:
        weighing = record_weighing(
            instrument=instrument, readings=form.readings, by=request.user, **form.circumstances()
        )
        messages.success(request, f"Weigh-off of {len(form.readings)} keys saved.")
        return weighing.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "instruments/weighing_add.html", {"form": form, "instrument": instrument})


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def weighing_page(request, stock_number, pk):
    instrument = the_instrument(stock_number)
    weighing = get_object_or_404(instrument.weighings.select_related("weighed_by"), pk=pk)
    context = {"instrument": instrument, "weighing": weighing, "touch": verdict_of(weighing, instrument)}
    return render(request, "instruments/weighing_page.html", context)
