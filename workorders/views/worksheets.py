"""Worksheets on paper: of an order, of one's own bench."""

from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.views.decorators.http import require_GET

from workorders.views.answers import the_order, today
from workorders.worksheets import bench_worksheet, order_worksheet


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def order_worksheet_print(request, number):
    pdf = order_worksheet(the_order(number), address_of=_address_in(request), on=today())
    return _answer(pdf, f"{number}-worksheet.pdf")


@require_GET
@permission_required("workorders.do_work", raise_exception=True)
def bench_worksheet_print(request):
    pdf = bench_worksheet(request.user, address_of=_address_in(request), on=today())
    return _answer(pdf, "bench-worksheet.pdf")


def _address_in(request):
    """The whole address, since a code on paper is read by a telephone."""
    return lambda row: request.build_absolute_uri(row.get_absolute_url())


def _answer(pdf: bytes, name: str) -> HttpResponse:
    headers = {"Content-Disposition": f'inline; filename="{name}"', "Cache-Control": "private, no-store"}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)
