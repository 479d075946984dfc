"""Recordings of an instrument: added, described, replaced, put away, brought back. And films, and breaks."""

from django.db import transaction
from django.utils import timezone

from instruments.actions.history import save_tracked
from instruments.models import Breaks, Film, HeardNote, Instrument, Recording
from instruments.problems import Blocked, Blocker
from instruments.recordings import NotesHeard

HERE_ALREADY = "This very recording is here already."
PUT_AWAY_BEFORE = "This very recording was put away. Bring it back from the foot of the page."


@transaction.atomic
def add_recording(
    *, instrument: Instrument, heard: NotesHeard, by, replaces: Recording | None = None, **fields
) -> Recording:
    """Keep a stored recording with what was said of it; one that it replaces is put away."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    if same := instrument.recordings.filter(sha256=fields["sha256"]).first():
        raise Blocked([Blocker(PUT_AWAY_BEFORE if same.removed_at else HERE_ALREADY)])
    if replaces and (replaces.removed_at or hasattr(replaces, "replaced_by")):
        raise Blocked([Blocker("The recording it was to replace has been put away meanwhile.")])
    recording = Recording(
        instrument=instrument, uploaded_by=by, replaces=replaces, unheard=heard.unheard, **fields
    )
    save_tracked(recording, by=by, why=f"Recording added: {recording}")
    _keep_notes(recording, heard)
    if replaces:
        _put_away(replaces, by=by, why=f"Recording replaced by a newer one: {replaces}")
    return recording


@transaction.atomic
def describe_recording(*, recording: Recording, by, heard: NotesHeard | None = None, **said) -> Recording:
    """Correct what was said of it. With `heard` its notes were other ones, and are measured anew."""
    recording = _as_it_is_now(recording)
    before = {name: getattr(recording, name) for name in said}
    if heard is not None:
        said["unheard"] = heard.unheard
        _keep_notes(recording, heard)
    for name, value in said.items():
        setattr(recording, name, value)
    if any(getattr(recording, name) != value for name, value in before.items()):
        public = "" if before["is_public"] == recording.is_public else f", {_public_words(recording)}"
        save_tracked(recording, by=by, why=f"Recording described: {recording}{public}", update_fields=[*said])
    return recording


@transaction.atomic
def remove_recording(*, recording: Recording, by) -> Recording:
    """Put it away. Its files stay, so that it can be brought back."""
    return _put_away(_as_it_is_now(recording), by=by, why=f"Recording put away: {recording}")


@transaction.atomic
def restore_recording(*, recording: Recording, by) -> Recording:
    recording = _as_it_is_now(recording)
    recording.removed_at = None
    save_tracked(recording, by=by, why=f"Recording brought back: {recording}", update_fields=["removed_at"])
    return recording


@transaction.atomic
def add_film(*, instrument: Instrument, by, **said) -> Film:
    film = Film(instrument=instrument, added_by=by, **said)
    save_tracked(film, by=by, why=f"Link to a film added: {film}")
    return film


@transaction.atomic
def remove_film(*, film: Film, by) -> Film:
    film = Film.objects.select_for_update().get(pk=film.pk)
    film.removed_at = timezone.now()
    save_tracked(film, by=by, why=f"Link to a film put away: {film}", update_fields=["removed_at"])
    return film


@transaction.atomic
def set_breaks(*, instrument: Instrument, bass: int | None, treble: int | None, by) -> Breaks:
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    breaks = Breaks.objects.filter(instrument=instrument).first() or Breaks(instrument=instrument)
    breaks.bass, breaks.treble = bass, treble
    save_tracked(breaks, by=by, why=f"Breaks of the compass: {breaks}")
    return breaks


def _keep_notes(recording: Recording, heard: NotesHeard) -> None:
    recording.heard.all().delete()
    HeardNote.objects.bulk_create(HeardNote(recording=recording, **note) for note in heard.notes)


def _put_away(recording: Recording, *, by, why: str) -> Recording:
    recording.removed_at = timezone.now()
    save_tracked(recording, by=by, why=why, update_fields=["removed_at"])
    return recording


def _public_words(recording: Recording) -> str:
    return "may be heard by the public" if recording.is_public else "not for the public"


def _as_it_is_now(recording: Recording) -> Recording:
    return Recording.objects.select_for_update().get(pk=recording.pk)
