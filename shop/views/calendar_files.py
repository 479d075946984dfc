"""The days of a hold or a home trial as a file for a calendar."""

from django.contrib.auth.decorators import permission_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_GET

from shop.calc.icalendar import calendar_file
from shop.models import Promise
from shop.trial_calendar import calendar_days


@require_GET
@permission_required("shop.sell", raise_exception=True)
def promise_calendar(request, pk):
    promise = get_object_or_404(Promise.objects.select_related("instrument", "person"), pk=pk)
    days = calendar_days(promise)
    if not days:
        raise Http404
    return HttpResponse(
        calendar_file(days, written_at=timezone.now()),
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="days-{promise.pk}.ics"'},
    )
