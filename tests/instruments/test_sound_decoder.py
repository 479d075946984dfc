"""Recordings are decoded apart: what ends the decoder costs one recording, and little is let near it."""

import io
import struct

import av
import numpy as np
import pytest

from instruments import sound_files
from instruments.sound_boxes import OUT_OF_PLACE, holds_what_is_out_of_place
from instruments.sound_files import DAMAGED, NotASound, read_sound
from tests.sounds import note, packed

LEFT, RIGHT = 1, 2


def box(name: bytes, *parts: bytes) -> bytes:
    content = b"".join(parts)
    return struct.pack(">I4s", 8 + len(content), name) + content


def boxed(
    sound: bytes, *, codec: bytes = b"sowt", labels: tuple[int, ...] = (LEFT, RIGHT), more=b""
) -> bytes:
    """An M4A of 16 bits a sample, with a label for each channel (QuickTime File Format, `chan`)."""
    count, frames = len(labels), len(sound) // 2 // len(labels)
    ftyp = box(b"ftyp", b"M4A ", bytes(4), b"M4A ")
    said = [struct.pack(">I4s12s", label, bytes(4), bytes(12)) for label in labels]
    chan = box(b"chan", bytes(4), struct.pack(">III", 0, 0, count), *said)
    form = struct.pack(">8xHHHHI", count, 16, 0, 0, 44_100 << 16)
    entry = box(codec, bytes(6), struct.pack(">H", 1), form, chan)
    table = box(
        b"stbl",
        box(b"stsd", struct.pack(">II", 0, 1), entry),
        box(b"stts", struct.pack(">IIII", 0, 1, frames, 1)),
        box(b"stsc", struct.pack(">IIIII", 0, 1, 1, frames, 1)),
        box(b"stsz", struct.pack(">III", 0, 2 * count, frames)),
        box(b"stco", struct.pack(">III", 0, 1, len(ftyp) + 8)),
    )
    dinf = box(b"dinf", box(b"dref", struct.pack(">II", 0, 1), box(b"url ", struct.pack(">I", 1))))
    media = box(
        b"mdia",
        box(b"mdhd", struct.pack(">IIIIII", 0, 0, 0, 44_100, frames, 0)),
        box(b"hdlr", bytes(8), b"soun", bytes(13)),
        box(b"minf", box(b"smhd", bytes(8)), dinf, table),
    )
    track = box(b"trak", box(b"tkhd", struct.pack(">IIIIII", 7, 0, 0, 1, 0, frames), bytes(60)), media)
    head = box(b"mvhd", struct.pack(">IIIII", 0, 0, 0, 44_100, frames), bytes(80))
    return ftyp + box(b"mdat", sound) + box(b"moov", head, track, more)


def of_many_channels(count: int, codec: str, container: str) -> bytes:
    layout = {8: "7.1"}.get(count, f"{count} channels")
    into = io.BytesIO()
    with av.open(into, "w", format=container) as file:
        stream = file.add_stream(codec, rate=48_000, layout=layout)
        if codec == "libopus":
            stream.codec_context.options = {"mapping_family": "255"}
        tone = np.sin(np.arange(9_600) / 20) * 9_000
        frame = av.AudioFrame.from_ndarray(
            np.repeat(tone.astype("i2"), count)[None], format="s16", layout=layout
        )
        frame.sample_rate = 48_000
        size = stream.codec_context.frame_size or 960
        resampler = av.AudioResampler(format=stream.format, layout=layout, rate=48_000, frame_size=size)
        for each in (*resampler.resample(frame), *resampler.resample(None)):
            file.mux(stream.encode(each))
        file.mux(stream.encode(None))
    return into.getvalue()


@pytest.mark.parametrize("labels", [(LEFT, RIGHT), (RIGHT, LEFT)])
def test_channels_in_an_order_of_their_own_are_heard_and_end_nothing(labels):
    """PyAV 18.1.0 frees such an order twice."""
    samples = np.arange(-3_000, 3_000, dtype="<i2")
    heard = read_sound(io.BytesIO(boxed(samples.tobytes(), labels=labels)))
    assert heard.rate == 44_100
    assert np.array_equal(heard.channels, samples.reshape(-1, 2).T.astype("f4") / 32_768)


def test_eight_channels_are_mixed_and_nothing_is_read_behind_the_eighth():
    heard = read_sound(io.BytesIO(of_many_channels(8, "aac", "ipod")))
    assert heard.channels.shape[0] == 1 and 0.1 < np.abs(heard.channels).max() < 0.4


def test_more_channels_than_eight_are_refused_in_words():
    with pytest.raises(NotASound, match=DAMAGED):
        read_sound(io.BytesIO(of_many_channels(9, "libopus", "ogg")))


@pytest.mark.parametrize("codec", [b"MAC6", b"ima4", b"ac-3"])
def test_a_decoder_that_recordings_have_no_use_for_is_not_let_near_it(codec):
    with pytest.raises(NotASound, match=DAMAGED):
        read_sound(io.BytesIO(boxed(bytes(40_000), codec=codec)))


HALF = '{"rate": 44100, "channels": 2, "format": "s16"}'


@pytest.mark.parametrize(
    "ends",
    [
        "os.abort()",
        "print('{')",
        "print('{}')",
        "print('{}', flush=True); os._exit(3)",
        f"print({HALF!r}); print('sample')",
        """print('{"refused": "for once"}')""",
    ],
)
def test_a_decoder_that_falls_over_costs_one_recording_and_no_process(monkeypatch, tmp_path, ends):
    (tmp_path / "falls.py").write_text(f"import os\n{ends}\n")
    monkeypatch.setattr(sound_files, "DECODER", tmp_path / "falls.py")
    with pytest.raises(NotASound, match=DAMAGED):
        read_sound(io.BytesIO(packed(note(), "mp3")))


@pytest.mark.parametrize("name", OUT_OF_PLACE)
def test_a_box_that_is_out_of_place_is_refused_unread(monkeypatch, tmp_path, name):
    content = boxed(bytes(40_000), more=box(b"udta", box(name, bytes(12))))
    monkeypatch.setattr(sound_files, "DECODER", tmp_path / "is not there")
    assert holds_what_is_out_of_place(content)
    with pytest.raises(NotASound, match=DAMAGED):
        read_sound(io.BytesIO(content))


def test_the_sound_itself_may_hold_any_bytes():
    assert not holds_what_is_out_of_place(boxed(b"ispe" * 4_000))


def called(words: bytes, name: bytes = b"\xa9nam") -> bytes:
    """A title as telephones write it (QuickTime File Format, metadata item list)."""
    item = box(name, box(b"data", struct.pack(">II", 1, 0), words))
    says_tags = box(b"hdlr", bytes(8), b"mdir", bytes(13))
    return box(b"udta", box(b"meta", bytes(4), says_tags, box(b"ilst", item)))


def test_a_recording_may_be_called_anything():
    content = boxed(np.arange(-3_000, 3_000, dtype="<i2").tobytes(), more=called(b"Whisper, C6 to C7"))
    assert read_sound(io.BytesIO(content)).rate == 44_100


@pytest.mark.parametrize(
    "content",
    [
        boxed(bytes(400), more=called(box(b"ispe"), name=b"iprp")),
        boxed(bytes(400), more=called(b"a title") + box(b"ispe")),
        boxed(bytes(400), more=box(b"\xa9nam", box(b"ispe"))),
        called(b"a title") + box(b"moov", box(b"ilst", box(b"\xa9nam", box(b"ispe")))),
        box(b"mdat", bytes(4)) + b"ispe",
        struct.pack(">I4sQ", 1, b"mdat", 20) + bytes(4) + box(b"ispe"),
        struct.pack(">I4s", 3, b"mdat") + box(b"ispe"),
        struct.pack(">I4s", 0, b"meta") + box(b"ispe"),
        struct.pack(">I4sQ", 1, b"mdat", 4) + box(b"ispe"),
    ],
)
def test_no_length_hides_a_box(content):
    assert holds_what_is_out_of_place(content)
