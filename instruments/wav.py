"""WAV files read and written by ourselves: sample for sample, whatever its header says of its length.

RIFF WAVE as in "Multimedia Programming Interface and Data Specifications 1.0" (1991, from memory): chunks of
a name, a length and their bytes. PCM of 8 to 32 bits and floats are read; 16 bits are written, with nothing
but the sound: no name, place or date.
"""

import struct
from typing import BinaryIO

import numpy as np

PCM, FLOATS, EXTENSIBLE = 1, 3, 0xFFFE
MOST_CHUNKS = 100
LARGEST_FORMAT = 64


class BadWav(ValueError):
    """Not a WAV file, or one that packs its sound in a way that is not read here."""


def read_wav(file: BinaryIO, *, most_s: float) -> tuple[np.ndarray, int]:
    """Floats (channels, samples) and the rate; `most_s` and a second are read at most."""
    file.seek(0)
    head = file.read(12)
    if head[:4] != b"RIFF" or head[8:] != b"WAVE":
        raise BadWav
    form = None
    for _ in range(MOST_CHUNKS):
        name_and_length = file.read(8)
        if len(name_and_length) < 8:
            break
        name, length = struct.unpack("<4sI", name_and_length)
        if name == b"data" and form:
            kind, channels, rate, bits = form
            frame = channels * bits // 8
            content = file.read(min(length, round((most_s + 1) * rate) * frame))
            return _floats(content[: len(content) // frame * frame], kind, bits, channels), rate
        if name == b"fmt ":
            form = _format(file.read(min(length, LARGEST_FORMAT)))
            file.seek(max(0, length - LARGEST_FORMAT) + length % 2, 1)
        else:
            file.seek(length + length % 2, 1)
    raise BadWav


def _format(content: bytes) -> tuple[int, int, int, int]:
    if len(content) < 16:
        raise BadWav
    kind, channels, rate, _, _, bits = struct.unpack("<HHIIHH", content[:16])
    if kind == EXTENSIBLE and len(content) >= 26:
        kind = struct.unpack("<H", content[24:26])[0]
    readable = (kind == PCM and bits in {8, 16, 24, 32}) or (kind == FLOATS and bits in {32, 64})
    if not readable or not 1 <= channels <= 8 or not rate:
        raise BadWav
    return kind, channels, rate, bits


def _floats(content: bytes, kind: int, bits: int, channels: int) -> np.ndarray:
    if kind == FLOATS:
        sound = np.frombuffer(content, f"<f{bits // 8}").astype(np.float32)
        if not np.isfinite(sound).all():
            raise BadWav
        sound = np.clip(sound, -1, 1)
    elif bits == 8:
        sound = (np.frombuffer(content, np.uint8).astype(np.float32) - 128) / 128
    elif bits == 24:
        three = np.frombuffer(content, np.uint8).reshape(-1, 3)
        whole = np.zeros((len(three), 4), np.uint8)
        whole[:, 1:] = three
        sound = whole.view("<i4").ravel().astype(np.float32) / 2**31
    else:
        sound = np.frombuffer(content, f"<i{bits // 8}").astype(np.float32) / 2 ** (bits - 1)
    return np.ascontiguousarray(sound.reshape(-1, channels).T)


def wav_bytes(channels: np.ndarray, rate: int) -> bytes:
    """A file of 16 bits; floats (channels, samples) -1..1."""
    channels = np.atleast_2d(channels)
    count = len(channels)
    content = np.round(np.clip(channels, -1, 1).T * 32767).astype("<i2").tobytes()
    form = struct.pack("<4sIHHIIHH", b"fmt ", 16, PCM, count, rate, rate * count * 2, count * 2, 16)
    data = struct.pack("<4sI", b"data", len(content)) + content
    return struct.pack("<4sI4s", b"RIFF", 4 + len(form) + len(data), b"WAVE") + form + data
