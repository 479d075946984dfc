"""The keys of one instrument: faults marked on a drawn keyboard, cleared on a second look, printed."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.actions.key_marks import clear_marks, mark_keys
from instruments.actions.photos import attach_pictures
from instruments.forms.key_marks import KeyMarkForm, KeysClearForm
from instruments.key_faults import KeyFault
from instruments.key_marks import key_strip_of, mark_entries
from instruments.key_sheets import key_sheet_pdf
from instruments.photos import stored_photos
from instruments.views.answers import act_once, answer_form, the_instrument
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads

ENTRIES_SHOWN = 12


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def keys(request, stock_number):
    instrument = the_instrument(stock_number)
    today = timezone.localdate()
    form = KeyMarkForm(request.POST or None, request.FILES or None, instrument=instrument, today=today)
    was_sent = request.method == "POST"
    if was_sent and (answer := answered_before(request) or _marked(request, instrument, form)):
        return answer
    return _page(request, instrument, form, KeysClearForm(instrument=instrument, today=today))


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def keys_clear(request, stock_number):
    instrument, today = the_instrument(stock_number), timezone.localdate()
    form = KeysClearForm(request.POST, instrument=instrument, today=today)

    def act() -> str:
        cleared = clear_marks(
            marks=form.chosen_marks(),
            found=form.cleaned_data["found"],
            by=request.user,
            on=form.cleaned_data["cleared_on"],
        )
        messages.success(request, f"{len(cleared)} mark{'s' * (len(cleared) != 1)} cleared.")
        return _address(instrument)

    if answer := answer_form(request, form, act):
        return answer
    return _page(request, instrument, KeyMarkForm(instrument=instrument, today=today), form)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def key_sheet(request, stock_number):
    """The marked keys on paper, with boxes to tick at the bench."""
    pdf = key_sheet_pdf(the_instrument(stock_number), on=timezone.localdate())
    name = f'inline; filename="{stock_number}-keys.pdf"'
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": name, "Cache-Control": "private, no-store"},
    )


def _marked(request, instrument, form: KeyMarkForm):
    if not form.is_valid():
        return None
    data, received = form.cleaned_data, form.cleaned_data["photos"]
    with stored_photos(received.prepared) as stored:

        def act() -> str:
            added = attach_pictures(instrument=instrument, pictures=stored, by=request.user)
            marked = mark_keys(
                instrument=instrument,
                keys=form.keys,
                fault=data["fault"],
                note=data["note"],
                photo=next(iter([*added.new, *added.known]), None),
                by=request.user,
                on=data["marked_on"],
            )
            stored.keep()
            _tell(request, instrument, data["fault"], marked, received.refused)
            return _address(instrument)

        return act_once(request, form, act)


def _tell(request, instrument, fault: str, marked, refused: list[str]) -> None:
    """What was marked, what bore the mark already, and which file could not be read."""
    strip, label = key_strip_of(instrument, marks=()), KeyFault(fault).label
    if marked.new:
        messages.success(request, f"{label}: {strip.keys_in_words(mark.key for mark in marked.new)}.")
    if marked.already:
        messages.info(request, f"Marked so already: {strip.keys_in_words(marked.already)}.")
    for sentence in refused:
        messages.warning(request, sentence)


def _page(request, instrument, form: KeyMarkForm, clear_form: KeysClearForm):
    context = {
        "instrument": instrument,
        "form": form,
        "clear_form": clear_form,
        "strip": key_strip_of(instrument),
        "entries": mark_entries(instrument, most=ENTRIES_SHOWN),
    }
    return render(request, "instruments/keys.html", context)


def _address(instrument) -> str:
    return reverse("instruments:keys", args=[instrument.stock_number])
