"""The shop's own serial marks: a table to look up, to add to, and to carry in and out."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.actions.serial_marks import (
    add_serial_mark,
    add_serial_marks,
    edit_serial_mark,
    remove_serial_mark,
)
from instruments.exports import csv_response
from instruments.forms.serial_marks import HEADINGS, MarksFileForm, SerialMarkForm
from instruments.models import SerialMark
from instruments.views.answers import answer_form
from instruments.views.uploads import accepts_uploads

ON_A_PAGE = 100


@require_GET
@permission_required("instruments.keep_library", raise_exception=True)
def serial_marks(request):
    maker = request.GET.get("maker", "").strip()[:120]
    page = Paginator(_marks_of(maker), ON_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "instruments/serial_marks.html", {"page": page, "maker": maker})


@require_GET
@permission_required("instruments.keep_library", raise_exception=True)
def serial_mark_export(request):
    marks = _marks_of(request.GET.get("maker", "").strip()[:120])
    rows = (
        (mark.maker, mark.serial, mark.year, mark.exactness, mark.source)
        for mark in marks.iterator(chunk_size=500)
    )
    return csv_response("serial-marks.csv", list(HEADINGS), rows)


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def serial_mark_import(request):
    form = MarksFileForm(request.POST or None, request.FILES or None)

    def act() -> str:
        rows = form.cleaned_data["file"]
        added = add_serial_marks(rows=rows, by=request.user)
        messages.success(request, f"{len(added)} marks added; {len(rows) - len(added)} were on file already.")
        return reverse("instruments:serial_marks")

    context = {"form": form, "headings": HEADINGS}
    return answer_form(request, form, act) or render(request, "instruments/serial_mark_import.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def serial_mark_add(request):
    form = SerialMarkForm(request.POST or None, initial={"maker": request.GET.get("maker", "")[:120]})

    def act() -> str:
        mark = add_serial_mark(by=request.user, **form.said())
        messages.success(request, "Mark added.")
        return _in_list(mark)

    return answer_form(request, form, act) or render(
        request, "instruments/serial_mark_form.html", {"form": form}
    )


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def serial_mark_edit(request, pk):
    mark = get_object_or_404(SerialMark, pk=pk)
    form = SerialMarkForm(request.POST or None, instance=get_object_or_404(SerialMark, pk=pk))

    def act() -> str:
        edit_serial_mark(mark=mark, by=request.user, **form.said())
        messages.success(request, "Mark changed.")
        return _in_list(mark)

    if answer := answer_form(request, form, act):
        return answer
    changes = mark.history.select_related("history_user")[:20]
    context = {"form": form, "mark": mark, "changes": changes}
    return render(request, "instruments/serial_mark_form.html", context)


@require_POST
@permission_required("instruments.keep_library", raise_exception=True)
def serial_mark_remove(request, pk):
    mark = get_object_or_404(SerialMark, pk=pk)
    remove_serial_mark(mark=mark, by=request.user)
    messages.success(request, f"Taken out: {mark}.")
    return redirect("instruments:serial_marks")


def _marks_of(maker: str):
    folded = SerialMark(maker=maker).folded_maker
    return SerialMark.objects.filter(maker_folded__contains=folded) if folded else SerialMark.objects.all()


def _in_list(mark: SerialMark) -> str:
    return f"{reverse('instruments:serial_marks')}#mark-{mark.pk}"
