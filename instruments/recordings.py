"""Recordings as people bring them: told by their content, measured, and copied without hidden data.

The original is kept byte for byte, privately. What pages play is a copy made from the sound alone, so that no
place, name or date comes with it. Listening wants numpy, which is loaded when the first recording comes.
"""

import hashlib
import threading
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from decimal import Decimal

from django.core.files.base import ContentFile, File
from django.core.files.storage import default_storage

from instruments.file_names import shown_file_name
from instruments.kept_files import StoredFile, may_be_committed

LARGEST_BYTES = 60 * 1024 * 1024
NOTED = (
    *("original_name", "media_type", "sha256", "byte_count", "copy_type"),
    *("duration_ms", "starts_ms", "loudness_lufs", "waveform"),
)
# Three minutes take some 100 MB while they are listened to: one at a time, however many people upload.
LISTENING = threading.BoundedSemaphore(1)


class RecordingRefused(Exception):
    """A file that cannot be taken; the message is a sentence for the person who sent it."""

    def __init__(self, sentence: str):
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True)
class PreparedRecording:
    upload: File = field(repr=False)
    original_name: str
    media_type: str
    ending: str
    sha256: str
    byte_count: int
    copy: bytes = field(repr=False)
    copy_type: str
    copy_ending: str
    duration_ms: int
    starts_ms: int
    loudness_lufs: Decimal
    waveform: list[int] = field(repr=False)


@dataclass(frozen=True)
class NotesHeard:
    """The fields of a HeardNote for each note, or a sentence that says why there are none."""

    notes: tuple[dict, ...] = ()
    unheard: str = ""


def prepare_recording(uploaded: File) -> PreparedRecording:
    """Check, measure and copy one uploaded file, or raise RecordingRefused naming what is wrong with it."""
    name = shown_file_name(uploaded.name, otherwise="The recording")
    if not uploaded.size:
        raise RecordingRefused(f"{name} is empty. It may not have been sent to the end; send it again.")
    if uploaded.size > LARGEST_BYTES:
        size = uploaded.size / 1024 / 1024
        raise RecordingRefused(f"{name} is {size:.0f} MB; a recording may be up to 60 MB.")
    from instruments.hearing import hear

    with LISTENING:
        heard = hear(uploaded)
    if isinstance(heard, str):
        raise RecordingRefused(f"{name}: {heard}")
    return PreparedRecording(
        upload=uploaded, original_name=name, sha256=_sha256(uploaded), byte_count=uploaded.size, **heard
    )


def notes_in(file: File, keys: tuple[int, ...], a4_hz: float) -> NotesHeard:
    """Measure the notes that are said to be in a recording, lowest first; nothing where none is said."""
    if not keys:
        return NotesHeard()
    from instruments.hearing import measured_notes

    with LISTENING:
        return NotesHeard(*measured_notes(file, keys, a4_hz))


def _sha256(uploaded: File) -> str:
    digest = hashlib.sha256()
    uploaded.seek(0)
    for chunk in uploaded.chunks():
        digest.update(chunk)
    uploaded.seek(0)
    return digest.hexdigest()


@contextmanager
def stored_recording(prepared: PreparedRecording) -> Iterator[StoredFile]:
    """Put both files away before the transaction begins; take them out again unless a row took them."""
    names: dict[str, str] = {}
    stored = StoredFile({})
    stem = uuid.uuid4().hex
    wanted = {
        "original": (f"originals/{stem}.{prepared.ending}", prepared.upload),
        "copy": (f"sounds/{stem}.{prepared.copy_ending}", ContentFile(prepared.copy)),
    }
    try:
        for part, (name, content) in wanted.items():
            names[part] = default_storage.save(name, content)
        stored.fields = names | {each: getattr(prepared, each) for each in NOTED}
        yield stored
    except BaseException as error:
        stored.is_kept = stored.is_kept and may_be_committed(error)
        raise
    finally:
        if not stored.is_kept:
            for name in names.values():
                default_storage.delete(name)
