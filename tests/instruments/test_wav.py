"""WAV as it is met: every usual width, foreign chunks, and headers that lie about their length."""

import io
import struct
import wave

import numpy as np
import pytest

from instruments.wav import BadWav, read_wav, wav_bytes

RATE = 8000
TONE = 0.5 * np.sin(2 * np.pi * 100 * np.arange(RATE) / RATE)


def riff(form: bytes, content: bytes, *, before: bytes = b"", length: int | None = None) -> bytes:
    length = len(content) if length is None else length
    chunks = before + b"fmt " + struct.pack("<I", len(form)) + form
    return b"RIFF\xff\xff\xff\xffWAVE" + chunks + b"data" + struct.pack("<I", length) + content


def form(kind: int, bits: int, channels: int = 1, rate: int = RATE) -> bytes:
    frame = channels * bits // 8
    return struct.pack("<HHIIHH", kind, channels, rate, rate * frame, frame, bits)


def read(content: bytes, most_s: float = 60):
    return read_wav(io.BytesIO(content), most_s=most_s)


def as_24_bits(sound) -> bytes:
    return (np.round(sound * (2**23 - 1)).astype("<i4")).view(np.uint8).reshape(-1, 4)[:, :3].tobytes()


@pytest.mark.parametrize(
    ("kind", "bits", "content", "off"),
    [
        (1, 8, (TONE * 127 + 128).astype(np.uint8).tobytes(), 0.01),
        (1, 16, (TONE * 32767).astype("<i2").tobytes(), 1e-4),
        (1, 24, as_24_bits(TONE), 1e-5),
        (1, 32, (TONE * (2**31 - 1)).astype("<i4").tobytes(), 1e-6),
        (3, 32, TONE.astype("<f4").tobytes(), 1e-6),
        (3, 64, TONE.astype("<f8").tobytes(), 1e-6),
    ],
)
def test_every_usual_width_is_read(kind, bits, content, off):
    sound, rate = read(riff(form(kind, bits), content))
    assert rate == RATE and np.abs(sound[0] - TONE).max() < off


def test_what_is_written_python_reads_too():
    with wave.open(io.BytesIO(wav_bytes(np.stack([TONE, -TONE]), RATE))) as file:
        assert (file.getnchannels(), file.getframerate(), file.getnframes()) == (2, RATE, RATE)
    sound, _ = read(wav_bytes(np.stack([TONE, -TONE]), RATE))
    assert np.abs(sound - np.stack([TONE, -TONE])).max() < 1e-4


def test_foreign_chunks_are_stepped_over():
    place = b"LIST" + struct.pack("<I", 5) + b"place" + b"\0"
    assert read(riff(form(1, 16), b"\0\0" * 10, before=place))[0].shape == (1, 10)


def test_a_header_that_claims_without_end_reads_what_is_there():
    assert read(riff(form(1, 16), b"\0\0" * 10, length=0xFFFFFFFF))[0].shape == (1, 10)


def test_no_more_is_read_than_may_be():
    assert read(riff(form(1, 16), b"\0\0" * RATE * 9), most_s=2)[0].shape == (1, 3 * RATE)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"RIFF",
        b"RIFF\x04\0\0\0WAVE",
        b"RIFF\x04\0\0\0WAVEdata\xff\xff\xff\xff",
        riff(form(1, 16)[:8], b"\0\0"),
        riff(form(1, 0), b"\0\0"),
        riff(form(17, 4), b"\0\0"),  # packed otherwise
        riff(form(1, 16, channels=0), b"\0\0"),
        riff(form(1, 16, channels=9), b"\0\0"),
        riff(form(1, 16, rate=0), b"\0\0"),
        riff(form(3, 32), np.array([np.nan], "<f4").tobytes()),
    ],
)
def test_what_is_no_wav_is_refused(content):
    with pytest.raises(BadWav):
        read(content)
