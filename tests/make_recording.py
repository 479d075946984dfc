"""One recording, or one link to a film, of an instrument."""

from functools import cache

from instruments.actions.recordings import add_film, add_recording
from instruments.models import Film, Recording
from instruments.recordings import NotesHeard, PreparedRecording, notes_in, stored_recording
from tests import make
from tests.sounds import prepared_sound


@cache
def a_prepared_sound() -> PreparedRecording:
    return prepared_sound()


def make_recording(
    *, instrument=None, by=None, prepared=None, keys=(), replaces=None, a4_hz: float = 440.0, **said
) -> Recording:
    said = {"register": "tenor", "recorded_on": make.A_DAY} | said
    prepared = prepared or a_prepared_sound()
    heard = notes_in(prepared.upload, keys, a4_hz) if keys else NotesHeard()
    ends = {"low_key": keys[0], "high_key": keys[-1]} if keys else {}
    with stored_recording(prepared) as stored:
        recording = add_recording(
            instrument=instrument or make.make_instrument(),
            heard=heard,
            replaces=replaces,
            by=by or make.somebody(),
            **stored.fields,
            **said,
            **ends,
        )
        stored.keep()
    return recording


def make_film(*, instrument, by=None, **said) -> Film:
    said = {"title": "A waltz", "url": "https://films.example/waltz"} | said
    return add_film(instrument=instrument, by=by or make.somebody(), **said)
