"""Scans that belong to an instrument: never public, and some for few eyes only."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.db.models import Prefetch
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from instruments.actions.documents import add_document
from instruments.forms.documents import DocumentForm
from instruments.media import serve_file
from instruments.models import Evidence
from instruments.scans import stored_scan
from instruments.views.answers import act_once, the_instrument
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads

MOST_SHOWN = 200


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def documents(request, stock_number):
    instrument = the_instrument(stock_number)
    form = DocumentForm(request.POST or None, request.FILES or None, user=request.user)
    was_sent = request.method == "POST"
    if was_sent and (answer := answered_before(request) or _added(request, instrument, form)):
        return answer
    bearing = Evidence.objects.current().select_related("statement")
    shown = (
        instrument.documents.open_to(request.user)
        .select_related("added_by")
        .prefetch_related(Prefetch("evidence", bearing, to_attr="bearing"))
    )
    context = {"instrument": instrument, "form": form, "documents": shown[:MOST_SHOWN]}
    return render(request, "instruments/documents.html", context)


def _added(request, instrument, form):
    if not form.is_valid():
        return None
    with stored_scan(form.cleaned_data["file"]) as stored:

        def act() -> str:
            document = add_document(instrument=instrument, by=request.user, **stored.fields, **form.said())
            stored.keep()
            messages.success(request, "On file, byte for byte.")
            page = reverse("instruments:documents", args=[instrument.stock_number])
            return f"{page}#document-{document.pk}"

        return act_once(request, form, act)


@require_safe
@permission_required("instruments.inspect_instrument", raise_exception=True)
def document_file(request, stock_number, pk):
    """As a download, whatever it is; one that this person may not see is not there at all."""
    shown = the_instrument(stock_number).documents.open_to(request.user)
    document = get_object_or_404(shown, pk=pk)
    return serve_file(
        request,
        document.file,
        media_type=document.media_type,
        download_name=document.original_name or f"document-{document.pk}",
    )
