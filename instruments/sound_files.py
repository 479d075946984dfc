"""Sound files as numbers, told by their content and never by their name.

WAV is read by ourselves; M4A, MP3 and OGG want the `audio` extra (PyAV), and are decoded in a process of its
own (`sound_decoder.py`) that may fall over without harm. What is read is bounded by time, whatever a header
says, and only the one demuxer that the first bytes call for is let near a file.
"""

import io
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import BinaryIO

import numpy as np

from instruments.apart import answered_apart
from instruments.calc.tone.sounds import LEAST_HZ, MOST_HZ, NotATone
from instruments.sound_boxes import holds_what_is_out_of_place
from instruments.wav import BadWav, read_wav, wav_bytes

LONGEST_S = 180
MOST_CHANNELS, MOST_CHANNELS_READ = 2, 8
DECODER = Path(__file__).with_name("sound_decoder.py")
COPY_RATE, COPY_BITS = 44_100, 128_000
NO_DECODER = "Only WAV files can be listened to here: the shop has no decoder for others."
NO_SOUND = "There is no sound in this file."
DAMAGED = "This file is damaged, or no recording."
TOO_LONG = f"A recording lasts {LONGEST_S // 60} minutes at most. Cut it, or record a shorter passage."
A_FILM = "This is a film. Send only its sound; a film is put where films are kept, and linked to."

REFUSED = {"film": A_FILM, "no sound": NO_SOUND, "damaged": DAMAGED, "too long": TOO_LONG}
# By PyAV's name of a format; `p` at its end is one channel after another.
TYPES = {
    name + planar: kind
    for name, kind in {"u8": "u1", "s16": "i2", "s32": "i4", "flt": "f4", "dbl": "f8"}.items()
    for planar in ("", "p")
}


class NotASound(NotATone):
    """The file cannot be heard here; the sentence says what would help."""


@dataclass(frozen=True)
class Kind:
    """How a file is told and read: `demuxer` is what PyAV calls it."""

    media_type: str
    ending: str
    demuxer: str


WAV = Kind("audio/wav", "wav", "")
MP3 = Kind("audio/mpeg", "mp3", "mp3")
OGG = Kind("audio/ogg", "ogg", "ogg")
M4A = Kind("audio/mp4", "m4a", "mov")


@dataclass(frozen=True)
class Sound:
    """Floats -1..1, shape (channels, samples), one or two channels."""

    channels: np.ndarray
    rate: int

    @property
    def mono(self) -> np.ndarray:
        return self.channels.mean(axis=0)

    @property
    def seconds(self) -> float:
        return self.channels.shape[1] / self.rate


def kind_of(file: BinaryIO) -> Kind:
    """By the first bytes. NotASound for anything else."""
    file.seek(0)
    head = file.read(16)
    file.seek(0)
    if head[:4] == b"RIFF" and head[8:12] == b"WAVE":
        return WAV
    if head[:4] == b"OggS":
        return OGG
    if head[4:8] == b"ftyp":
        return M4A
    if head[:3] == b"ID3" or (head[:1] == b"\xff" and len(head) > 1 and head[1] & 0xE6 == 0xE2):
        return MP3
    raise NotASound("This is no recording that is taken here: send M4A, MP3, OGG or WAV.")


def read_sound(file: BinaryIO) -> Sound:
    """The whole of it. NotASound for what is damaged, no sound, a film, or too long."""
    kind = kind_of(file)
    sound = _read_wav(file) if kind is WAV else _unpacked(file, kind)
    if not LEAST_HZ <= sound.rate <= MOST_HZ:
        raise NotASound(f"A recording has {LEAST_HZ} to {MOST_HZ} samples a second; this has {sound.rate}.")
    if not sound.channels.size:
        raise NotASound(NO_SOUND)
    if sound.seconds > LONGEST_S:
        raise NotASound(TOO_LONG)
    return sound


def decoded(path: Path | str) -> tuple[np.ndarray, int]:
    """One channel of floats -1..1 and the rate, of a file on disk."""
    with Path(path).open("rb") as file:
        sound = read_sound(file)
    return sound.mono, sound.rate


def _read_wav(file: BinaryIO) -> Sound:
    try:
        channels, rate = read_wav(file, most_s=LONGEST_S)
    except BadWav:
        raise NotASound(DAMAGED) from None
    return Sound(_at_most_two(channels), rate)


def _at_most_two(channels: np.ndarray) -> np.ndarray:
    return channels if len(channels) <= MOST_CHANNELS else channels.mean(axis=0, keepdims=True)


def _unpacked(file: BinaryIO, kind: Kind) -> Sound:
    if find_spec("av") is None:  # which only the decoder loads
        raise NotASound(NO_DECODER)
    content = file.read()
    if kind is M4A and holds_what_is_out_of_place(content):
        raise NotASound(DAMAGED)
    try:
        said, samples = answered_apart(DECODER, content, kind.demuxer, MOST_CHANNELS_READ, LONGEST_S)
        block = None if "refused" in said else _block(said, samples)
    except (KeyError, ValueError) as fault:  # it fell over, or answered by halves
        raise NotASound(DAMAGED) from fault
    if block is None:
        raise NotASound(REFUSED.get(said["refused"], DAMAGED))
    return Sound(_at_most_two(_floats(block, said["channels"])), said["rate"])


def _block(said: dict, samples: bytes) -> np.ndarray:
    """As they were decoded: a row for each channel, or one where the format packs them."""
    rows = said["channels"] if said["format"].endswith("p") else 1
    return np.frombuffer(samples, TYPES[said["format"]]).reshape(rows, -1)


def _floats(block: np.ndarray, channels: int) -> np.ndarray:
    if block.shape[0] == 1 and channels > 1:  # packed: left, right, left, right
        block = block.reshape(-1, channels).T
    if block.dtype.kind in "iu":
        info = np.iinfo(block.dtype)
        middle = 0 if block.dtype.kind == "i" else (info.max + 1) / 2
        block = (block.astype(np.float32) - middle) / max(abs(info.min), (info.max + 1) / 2)
    block = block.astype(np.float32, copy=False)
    if not np.isfinite(block).all():
        raise NotASound(DAMAGED)
    return block


def playable_copy(sound: Sound) -> tuple[bytes, Kind]:
    """A file that every browser plays, made anew, so that it holds the sound and nothing else.

    MP3 where PyAV is there, WAV where it is not.
    """
    try:
        import av
    except ImportError:
        return wav_bytes(sound.channels, sound.rate), WAV
    layout = "mono" if len(sound.channels) == 1 else "stereo"
    into = io.BytesIO()
    with av.open(into, "w", format="mp3", options={"id3v2_version": "0", "fflags": "+bitexact"}) as file:
        stream = file.add_stream("libmp3lame", rate=COPY_RATE, layout=layout)
        stream.bit_rate = COPY_BITS
        frame = av.AudioFrame.from_ndarray(np.clip(sound.channels, -1, 1), format="fltp", layout=layout)
        frame.sample_rate = sound.rate
        resampler = av.AudioResampler(
            format=stream.format, layout=layout, rate=COPY_RATE, frame_size=stream.codec_context.frame_size
        )
        for each in (*resampler.resample(frame), *resampler.resample(None)):
            file.mux(stream.encode(each))
        file.mux(stream.encode(None))
    return into.getvalue(), MP3
