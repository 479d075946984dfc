from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from instruments.actions.findings import record_finding
from instruments.calc.compass import count_word
from instruments.forms.findings import WalkRound
from instruments.views.answers import answer_form, the_instrument


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def findings_record(request, stock_number):
    instrument = the_instrument(stock_number)
    walk = WalkRound(request.POST or None, instrument=instrument, today=timezone.localdate())

    def act() -> str:
        on = walk.day.cleaned_data["found_on"]
        for part in walk.touched:
            record_finding(instrument=instrument, by=request.user, on=on, **part.found())
        count = len(walk.touched)
        messages.success(request, f"{count_word(count).capitalize()} part{'s' * (count > 1)} written down.")
        return f"{instrument.get_absolute_url()}#condition"

    if answer := answer_form(request, walk, act):
        return answer
    return render(request, "instruments/findings_record.html", {"walk": walk, "instrument": instrument})
