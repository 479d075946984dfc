"""Decodes one recording; run apart (apart.py) for `instruments.sound_files`, never imported.

    sound_decoder.py DEMUXER MOST_CHANNELS LONGEST_SECONDS < recording > answer

Only the demuxer that was asked for and the decoders of DECODERS are let near the file. The answer is one line
of JSON (`refused`, or `rate`, `channels` and `format`, as PyAV calls it) and then the samples as they were
decoded: channel after channel, or one block where the format packs them.
"""

import io
import json
import os
import sys

import av

DECODERS = (
    *("aac", "alac", "amrnb", "amrwb", "flac", "opus", "speex", "vorbis"),
    *("mp1", "mp1float", "mp2", "mp2float", "mp3", "mp3float"),
    *("pcm_s16le", "pcm_s16be", "pcm_s24le", "pcm_s24be", "pcm_s32le", "pcm_s32be", "pcm_s8", "pcm_u8"),
    *("pcm_f32le", "pcm_f32be", "pcm_f64le", "pcm_f64be", "pcm_alaw", "pcm_mulaw"),
)


# PyAV 18 frees the layout of channels in an order of their own with its frame and once more alone: a layout
# that is in here is not freed again, nor is anything else when the process ends.
UNFREED = []


class Refused(Exception):
    """With one word that the caller puts into a sentence."""


def main(demuxer: str, most_channels: int, longest_seconds: int) -> None:
    try:
        head, blocks = _heard(io.BytesIO(sys.stdin.buffer.read()), demuxer, most_channels, longest_seconds)
    except Refused as refused:
        head, blocks = {"refused": str(refused)}, []
    except (av.FFmpegError, ValueError, OSError, MemoryError):
        head, blocks = {"refused": "damaged"}, []
    sys.stdout.buffer.write(json.dumps(head).encode() + b"\n")
    for block in blocks:
        sys.stdout.buffer.write(block)
    sys.stdout.flush()
    os._exit(0)


def _heard(file, demuxer: str, most_channels: int, longest_seconds: int) -> tuple[dict, list[bytearray]]:
    opened = av.open(file, format=demuxer, options={"codec_whitelist": ",".join(DECODERS)})
    UNFREED.append(opened)
    if any(not _is_cover(stream) for stream in opened.streams.video):
        raise Refused("film")
    if not opened.streams.audio:
        raise Refused("no sound")
    stream = opened.streams.audio[0]
    if stream.codec_context is None or stream.codec_context.name not in DECODERS:
        raise Refused("damaged")
    head, blocks, samples = {}, [], 0
    for frame in opened.decode(stream):
        UNFREED.append(frame.layout)
        channels, kind = frame.layout.nb_channels, frame.format
        head = head or {"rate": frame.sample_rate, "channels": channels, "format": kind.name}
        if head != {"rate": frame.sample_rate, "channels": channels, "format": kind.name}:
            raise Refused("damaged")
        if not 1 <= channels <= most_channels:
            raise Refused("damaged")
        blocks = blocks or [bytearray() for _ in range(channels if kind.is_planar else 1)]
        _add(frame, blocks)
        samples += frame.samples
        if samples > longest_seconds * frame.sample_rate:
            raise Refused("too long")
    if not head:
        raise Refused("no sound")
    return head, blocks


def _is_cover(stream) -> bool:
    """A still picture in the file, as shops of music put one in."""
    return bool(stream.disposition & av.stream.Disposition.attached_pic)


def _add(frame, blocks: list[bytearray]) -> None:
    """As many planes as there are channels, and not as many as PyAV finds: behind the eighth it reads on."""
    at_once = 1 if frame.format.is_planar else frame.layout.nb_channels
    wanted = frame.samples * frame.format.bytes * at_once
    for block, plane in zip(blocks, frame.planes, strict=False):
        piece = memoryview(plane)[:wanted]
        if len(piece) != wanted:
            raise Refused("damaged")
        block += piece


main(sys.argv[1], *map(int, sys.argv[2:4]))
