"""What a recording in boxes (ISO/IEC 14496-12) has no use for, told before a demuxer reads it.

The demuxer of M4A also reads pictures laid out as tiles (`ispe`), immersive scenes (`iacb`), what belongs to
a cipher (`pssh`, `senc`) and boxes that are themselves packed (`cmov`), wherever they stand. No telephone
writes them into a recording. They are looked for byte by byte in all but the sound itself and what people
wrote into its tags: a piece may be called “Whisper”.
"""

import struct
from collections.abc import Iterator

OUT_OF_PLACE = (b"ispe", b"iacb", b"pssh", b"senc", b"cmov")
SOUND, TAGS = b"mdat", b"ilst"
# Where the demuxer, too, looks for tags: each of these inside the one before it.
TO_THE_TAGS = {b"": (b"moov",), b"moov": (b"udta", b"meta"), b"udta": (b"meta",), b"meta": (TAGS,)}
WRITTEN = b"\xa9"  # with which the name of a tag begins that holds words


def holds_what_is_out_of_place(content: bytes) -> bool:
    """Anywhere but in the outermost `mdat` boxes and the words of tags."""
    rest = b"".join(_but_for_sound_and_words(content))
    return any(name in rest for name in OUT_OF_PLACE)


def _but_for_sound_and_words(content: bytes, inside: bytes = b"") -> Iterator[bytes]:
    at, end = _first(content, inside), len(content)
    yield content[:at]
    while at < end:
        name, head, length = _box(content, at)
        if not head:
            break
        box = content[at : at + length]
        yield box[:head]
        if not ((name == SOUND and not inside) or (name.startswith(WRITTEN) and inside == TAGS)):
            if name in TO_THE_TAGS.get(inside, ()):
                yield from _but_for_sound_and_words(box[head:], name)
            else:
                yield box[head:]
        at += length
    yield content[at:]


def _box(content: bytes, at: int) -> tuple[bytes, int, int]:
    """The name, and the bytes of the head and of the whole; no head where no whole box stands there."""
    if at + 8 > len(content):
        return b"", 0, 0
    length, name = struct.unpack_from(">I4s", content, at)
    head = 8
    if length == 1 and at + 16 <= len(content):
        (length,), head = struct.unpack_from(">Q", content, at + 8), 16
    elif length == 0:
        length = len(content) - at
    return (name, head, length) if head <= length <= len(content) - at else (b"", 0, 0)


def _first(content: bytes, inside: bytes) -> int:
    """Where the first box begins: `meta` may say a version before it."""
    return 4 if inside == b"meta" and content[8:12] == b"hdlr" else 0
