"""The end of a hold or a home trial as a file for a calendar."""

from django.contrib.auth.decorators import permission_required
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.http import require_GET

from shop.calc.icalendar import CalendarDay, calendar_file
from shop.models import Promise, ShopProfile
from shop.states import PromiseKind

ENDS = {PromiseKind.HOLD: "Hold ends", PromiseKind.TRIAL: "Home trial ends: keep, exchange or return"}


@require_GET
@permission_required("shop.sell", raise_exception=True)
def promise_calendar(request, pk):
    promise = get_object_or_404(Promise.objects.open().select_related("instrument", "person"), pk=pk)
    if promise.kind not in ENDS:
        raise Http404
    shop = ShopProfile.current()
    day = CalendarDay(
        uid=f"promise-{promise.pk}@{promise.instrument.stock_number}.wrestplank",
        day=promise.until,
        summary=f"{ENDS[promise.kind]}: {promise.instrument.maker_name} {promise.instrument.stock_number}",
        description="\n".join(filter(None, [str(promise.person), promise.note, shop.name, shop.telephone])),
    )
    return HttpResponse(
        calendar_file([day], written_at=timezone.now()),
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="ends-{promise.pk}.ics"'},
    )
