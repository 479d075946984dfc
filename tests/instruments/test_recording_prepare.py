"""Recordings are told by what is in them, copied without hidden data, and refused in words."""

import io
import struct
import sys

import av
import numpy as np
import pytest

from instruments.calc.loudness import integrated_loudness
from instruments.recordings import LARGEST_BYTES, RecordingRefused, notes_in, prepare_recording
from instruments.sound_files import read_sound
from tests.pictures import picture_bytes
from tests.sounds import PACKED, RATE, SECRET, film, note, packed, prepared_sound, run, sound_upload, wav


@pytest.mark.parametrize("kind", [*PACKED, "wav"])
def test_what_a_telephone_records_is_kept_byte_for_byte_and_copied(kind):
    content = wav(note()) if kind == "wav" else packed(note(), kind)
    prepared = prepared_sound(f"phone.{kind}", content)
    assert prepared.upload.read() == content
    assert (prepared.ending, prepared.copy_type) == (kind, "audio/mpeg")
    assert prepared.duration_ms == pytest.approx(2700, abs=60)
    assert prepared.starts_ms == pytest.approx(200, abs=60)
    copy = read_sound(io.BytesIO(prepared.copy))
    assert copy.seconds == pytest.approx(2.7, abs=0.06)
    assert float(prepared.loudness_lufs) == pytest.approx(
        integrated_loudness(copy.channels, copy.rate), abs=0.01
    )


def test_a_name_that_lies_is_no_matter():
    assert prepared_sound("A4.mp3", packed(note(), "m4a")).media_type == "audio/mp4"


def test_place_and_title_do_not_reach_the_copy():
    content = packed(note(), "m4a", title=SECRET, comment=SECRET, artist="Canary Customer")
    assert SECRET.encode() in content
    copy = prepared_sound("x.m4a", content).copy
    assert SECRET.encode() not in copy and b"Canary" not in copy
    with av.open(io.BytesIO(copy)) as opened:
        assert not dict(opened.metadata) and not dict(opened.streams[0].metadata)


def test_place_in_a_wav_does_not_reach_the_copy():
    place = b"LIST" + struct.pack("<I", len(SECRET)) + SECRET.encode()
    content = wav(note())
    prepared = prepared_sound("x.wav", content[:12] + place + content[12:])
    assert SECRET.encode() not in prepared.copy


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"not a sound at all", "send M4A, MP3, OGG or WAV"),
        (picture_bytes(), "send M4A, MP3, OGG or WAV"),
        (b"#EXTM3U\nfile:///etc/passwd\n", "send M4A, MP3, OGG or WAV"),
        (b"<svg onload='x()'/>", "send M4A, MP3, OGG or WAV"),
        (b"OggS" + b"\0" * 400, "damaged"),
        (b"\0\0\0\x18ftypM4A " + b"\0" * 400, "damaged"),
        (b"ID3\x04\0\0\0\0\0\x0f" + b"\0" * 400, "damaged"),
        (b"RIFF\xff\xff\xff\xffWAVEdata\xff\xff\xff\xff", "damaged"),
        (wav(np.zeros(RATE * 2)), "no sound|next to nothing"),
        (wav(note()[:2000]), "shorter than half a second"),
        (wav(np.zeros(0)), "no sound"),
    ],
)
def test_what_is_no_recording_is_refused_in_words(content, words):
    with pytest.raises(RecordingRefused, match=words):
        prepare_recording(sound_upload("x.m4a", content))


def test_a_film_is_no_recording():
    with pytest.raises(RecordingRefused, match="This is a film"):
        prepare_recording(sound_upload("x.m4a", film()))


def test_half_a_file_is_refused_or_heard_as_far_as_it_goes():
    with pytest.raises(RecordingRefused, match="damaged"):
        prepare_recording(sound_upload("x.m4a", packed(note(), "m4a")[:4000]))
    cut = wav(note())
    assert prepared_sound("x.wav", cut[: len(cut) // 2]).duration_ms == pytest.approx(1350, abs=5)


def test_what_lasts_too_long_is_refused_whatever_its_header_says():
    quiet = np.tile(note(), 90)[: RATE * 200]
    with pytest.raises(RecordingRefused, match="3 minutes at most"):
        prepare_recording(sound_upload("x.wav", wav(quiet)))


def test_what_is_too_large_is_refused_unread():
    upload = sound_upload()
    upload.size = LARGEST_BYTES + 1
    with pytest.raises(RecordingRefused, match="may be up to 60 MB"):
        prepare_recording(upload)


def test_a_strange_rate_is_refused_in_words():
    with pytest.raises(RecordingRefused, match="samples a second"):
        prepare_recording(sound_upload("x.wav", wav(note(), rate=400_000)))


def test_without_the_decoder_wav_is_taken_and_the_others_get_a_sentence(monkeypatch):
    content = packed(note(), "mp3")
    monkeypatch.setitem(sys.modules, "av", None)
    prepared = prepared_sound("x.wav")
    assert prepared.copy_type == "audio/wav" and prepared.copy[:4] == b"RIFF"
    with pytest.raises(RecordingRefused, match="Only WAV files can be listened to here"):
        prepare_recording(sound_upload("x.mp3", content))


def test_a_single_note_is_measured():
    heard = notes_in(io.BytesIO(wav(note(49, seconds=6))), (49,), 440.0)
    (measured,) = heard.notes
    assert heard.unheard == ""
    assert float(measured["f1_hz"]) == pytest.approx(440 * np.sqrt(1 + 3e-4), abs=0.2)
    assert float(measured["inharmonicity"]) == pytest.approx(3e-4, rel=0.05)
    assert float(measured["early_db_s"]) == pytest.approx(20, rel=0.1)
    assert float(measured["late_db_s"]) == pytest.approx(4, rel=0.1)


def test_a_run_is_measured_note_by_note_and_a_miscount_is_said():
    content = wav(run(22, 27))
    assert [each["key"] for each in notes_in(io.BytesIO(content), (22, 23, 24, 25, 26, 27), 440.0).notes] == [
        *range(22, 28)
    ]
    said = notes_in(io.BytesIO(content), (22, 23, 24), 440.0)
    assert said.notes == () and said.unheard.startswith("3 notes were to be heard")
