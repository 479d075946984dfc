"""Everything measured of one instrument, each by its latest reading."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_GET

from instruments.measuring import measures_of
from instruments.models import house_a4_hz
from instruments.views.answers import the_instrument

MOST_EARLIER = 12


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def measures(request, stock_number):
    instrument = the_instrument(stock_number)
    context = {
        "instrument": instrument,
        "measures": measures_of(instrument),
        "earlier": _earlier(instrument),
        "a4_hz": house_a4_hz(),
    }
    return render(request, "instruments/measures.html", context)


def _earlier(instrument) -> list:
    """Surveys of every kind, newest day first, those on top of the page left out."""
    kinds = (instrument.pin_surveys, instrument.pitch_surveys, instrument.wire_surveys)
    rows = []
    for kind in (instrument.weighings.with_readings(), *kinds):
        rows += kind.select_related("instrument")[1 : MOST_EARLIER + 1]
    return sorted(rows, key=_day, reverse=True)[:MOST_EARLIER]


def _day(row):
    return getattr(row, "measured_on", None) or row.weighed_on
