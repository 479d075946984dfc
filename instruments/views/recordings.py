"""Recordings of an instrument: a page that takes them, says what they measure, and plays them."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from instruments.actions.recordings import (
    add_recording,
    describe_recording,
    remove_recording,
    restore_recording,
)
from instruments.forms.recordings import BreaksForm, DescribeForm, FilmForm, RecordingForm
from instruments.forms.tone import ToneForm
from instruments.media import serve_file
from instruments.models import Instrument, Recording
from instruments.recordings import notes_in, stored_recording
from instruments.sound_report import BreakReport, NoteReport, a4_of, breaks_of, by_register
from instruments.views.answers import act_once, the_instrument
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads

MOST_SHOWN = 200


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def sound(request, stock_number):
    instrument = the_instrument(stock_number)
    form = RecordingForm(
        request.POST or None, request.FILES or None, instrument=instrument, initial=_as_last_time(instrument)
    )
    if request.method == "POST" and (answer := _added(request, instrument, form)):
        return answer
    return show_sound(request, instrument, form=form)


def _as_last_time(instrument: Instrument) -> dict:
    """The same telephone at the same distance, until somebody says otherwise."""
    last = instrument.recordings.kept().order_by("-id").first()
    now = {"recorded_on": timezone.localdate()}
    return now | {"device": last.device, "distance_cm": last.distance_cm} if last else now


def _added(request, instrument, form, *, replaces: Recording | None = None):
    if (answer := answered_before(request)) or not form.is_valid():
        return answer
    heard = form.heard(a4_of(instrument))
    with stored_recording(form.cleaned_data["file"]) as stored:

        def act() -> str:
            recording = add_recording(
                instrument=instrument,
                heard=heard,
                replaces=replaces,
                by=request.user,
                **stored.fields,
                **form.said(),
            )
            stored.keep()
            messages.success(request, f"Kept: {recording}, {recording.length_words}.")
            if recording.unheard:
                messages.warning(request, recording.unheard)
            return f"{reverse('instruments:sound', args=[instrument.stock_number])}#recording-{recording.pk}"

        return act_once(request, form, act)


def show_sound(request, instrument: Instrument, **forms):
    """The page, with whichever of its forms was refused."""
    kept = list(instrument.recordings.kept().prefetch_related("heard")[:MOST_SHOWN])
    breaks = breaks_of(instrument)
    context = {
        "instrument": instrument,
        "rows": by_register(kept, breaks),
        "breaks": breaks,
        "across": BreakReport(kept, breaks),
        "films": instrument.films.kept()[:20],
        "put_away": instrument.recordings.filter(removed_at__isnull=False)[:MOST_SHOWN],
        "form": forms.get("form") or RecordingForm(instrument=instrument, initial=_as_last_time(instrument)),
        "film_form": forms.get("film_form") or FilmForm(),
        "tone": getattr(instrument, "tone", None),
        "tone_form": forms.get("tone_form") or ToneForm(instrument=instrument),
        "breaks_form": forms.get("breaks_form") or BreaksForm(instrument=instrument),
    }
    return render(request, "instruments/sound.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def recording_page(request, stock_number, pk):
    """What one recording measures, and the form that corrects what was said of it."""
    instrument, recording = _recording(stock_number, pk)
    form = DescribeForm(request.POST or None, instance=_recording(stock_number, pk)[1])
    if request.method == "POST" and (answer := _described(request, recording, form)):
        return answer
    return _page(request, instrument, recording, form=form)


def _described(request, recording, form):
    if (answer := answered_before(request)) or not form.is_valid():
        return answer
    heard = _notes_anew(recording, form) if form.has_other_notes else None

    def act() -> str:
        describe_recording(recording=recording, by=request.user, heard=heard, **form.said())
        messages.success(request, "Saved.")
        return reverse("instruments:recording_page", args=[recording.instrument.stock_number, recording.pk])

    return act_once(request, form, act)


def _notes_anew(recording, form):
    with recording.original.open("rb") as file:
        return notes_in(file, form.cleaned_data["notes"], a4_of(recording.instrument))


def _page(request, instrument, recording, **forms):
    a4 = a4_of(instrument)
    context = {
        "instrument": instrument,
        "recording": recording,
        "reports": [NoteReport(note, a4) for note in recording.heard.all()],
        "before": recording.replaces,
        "form": forms.get("form") or DescribeForm(instance=recording),
        "replace_form": forms.get("replace_form") or _replacing(instrument, recording),
    }
    return render(request, "instruments/recording_page.html", context)


def _replacing(instrument, recording, *sent):
    again = {name: getattr(recording, name) for name in ("register", "device", "distance_cm", "is_public")}
    again |= {"notes": recording.notes_words, "recorded_on": timezone.localdate()}
    return RecordingForm(*sent, instrument=instrument, initial=again, prefix="new")


@accepts_uploads
@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def recording_replace(request, stock_number, pk):
    instrument, recording = _recording(stock_number, pk)
    form = _replacing(instrument, recording, request.POST, request.FILES)
    answer = _added(request, instrument, form, replaces=recording)
    return answer or _page(request, instrument, recording, replace_form=form)


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def recording_remove(request, stock_number, pk):
    _, recording = _recording(stock_number, pk)
    remove_recording(recording=recording, by=request.user)
    messages.success(request, "Put away. It stands at the foot of the page.")
    return redirect("instruments:sound", stock_number)


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def recording_restore(request, stock_number, pk):
    _, recording = _recording(stock_number, pk, put_away=True)
    restore_recording(recording=recording, by=request.user)
    messages.success(request, "Brought back.")
    return redirect(f"{reverse('instruments:sound', args=[stock_number])}#recording-{pk}")


@require_safe
def recording_file(request, stock_number, pk, which):
    """The copy, part by part as a player asks for it; as it came only for those who record."""
    recording = get_object_or_404(Recording, pk=pk, instrument__stock_number=stock_number)
    if which == "copy":
        return serve_file(request, recording.copy, media_type=recording.copy_type)
    if which != "original":
        raise Http404("There is no such file of a recording.")
    if not request.user.has_perm("instruments.inspect_instrument"):
        raise PermissionDenied
    return serve_file(
        request, recording.original, media_type=recording.media_type, download_name=recording.original_name
    )


def _recording(stock_number: str, pk: int, *, put_away: bool = False) -> tuple[Instrument, Recording]:
    instrument = the_instrument(stock_number)
    recordings = instrument.recordings.filter(removed_at__isnull=not put_away)
    return instrument, get_object_or_404(recordings.select_related("uploaded_by", "replaces"), pk=pk)
