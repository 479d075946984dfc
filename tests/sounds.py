"""Sounds for tests, struck on the spot and packed as telephones pack them."""

import io

import av
import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile

from instruments.calc.compass import frequency_hz
from instruments.recordings import PreparedRecording, prepare_recording
from instruments.wav import wav_bytes
from tests.instruments.calc.tone.tones import RATE, struck

PACKED = {"m4a": ("ipod", "aac"), "mp3": ("mp3", "libmp3lame"), "ogg": ("ogg", "libopus")}
SECRET = "51.5072, -0.1276"


def note(key: int = 49, *, seconds: float = 2.5, db: float = 0.0, seed: int = 1) -> np.ndarray:
    return struck(frequency_hz(key), 3e-4, seconds=seconds, seed=seed) * 10 ** (db / 20)


def run(low: int, high: int, *, louder: dict[int, float] | None = None) -> np.ndarray:
    """Note by note; `louder` in dB by key."""
    return np.concatenate(
        [note(key, seconds=1.2, db=(louder or {}).get(key, -6.0), seed=key) for key in range(low, high + 1)]
    )


def wav(sound: np.ndarray, rate: int = RATE) -> bytes:
    return wav_bytes(sound, rate)


def packed(sound: np.ndarray, kind: str, **metadata: str) -> bytes:
    container, codec = PACKED[kind]
    into = io.BytesIO()
    with av.open(into, "w", format=container) as file:
        file.metadata.update(metadata)
        stream = file.add_stream(codec, rate=48_000, layout="mono")
        frame = av.AudioFrame.from_ndarray(np.float32(sound)[None], format="fltp", layout="mono")
        frame.sample_rate = RATE
        size = stream.codec_context.frame_size or 960
        resampler = av.AudioResampler(format=stream.format, layout="mono", rate=48_000, frame_size=size)
        for each in (*resampler.resample(frame), *resampler.resample(None)):
            file.mux(stream.encode(each))
        file.mux(stream.encode(None))
    return into.getvalue()


def film() -> bytes:
    """One second of grey with a sound, as a telephone films it."""
    into = io.BytesIO()
    with av.open(into, "w", format="mp4") as file:
        seen = file.add_stream("mpeg4", rate=10)
        seen.width, seen.height, seen.pix_fmt = 64, 48, "yuv420p"
        for _ in range(10):
            grey = np.full((48, 64, 3), 128, np.uint8)
            file.mux(seen.encode(av.VideoFrame.from_ndarray(grey, format="rgb24")))
        file.mux(seen.encode(None))
    return into.getvalue()


def sound_upload(name: str = "A4.wav", content: bytes | None = None) -> SimpleUploadedFile:
    return SimpleUploadedFile(name, wav(note()) if content is None else content, "audio/whatever")


def prepared_sound(name: str = "A4.wav", content: bytes | None = None) -> PreparedRecording:
    return prepare_recording(sound_upload(name, content))
