"""What a recording in boxes (ISO/IEC 14496-12) has no use for, told before a demuxer reads it.

The demuxer of M4A also reads pictures laid out as tiles (`ispe`), immersive scenes (`iacb`), what belongs to
a cipher (`pssh`, `senc`) and boxes that are themselves packed (`cmov`), wherever they stand. No telephone
writes them into a recording.
"""

import struct

OUT_OF_PLACE = (b"ispe", b"iacb", b"pssh", b"senc", b"cmov")


def holds_what_is_out_of_place(content: bytes) -> bool:
    """Anywhere but in the sound itself, which is what the outermost `mdat` boxes hold."""
    return any(name in part for part in _but_for_the_sound(content) for name in OUT_OF_PLACE)


def _but_for_the_sound(content: bytes) -> list[bytes]:
    parts, at = [], 0
    while at + 8 <= len(content):
        length, name, head = *struct.unpack_from(">I4s", content, at), 8
        if length == 1 and at + 16 <= len(content):
            (length,), head = struct.unpack_from(">Q", content, at + 8), 16
        elif length == 0:
            length = len(content) - at
        if length < head:
            break
        parts.append(content[at : at + head] if name == b"mdat" else content[at : at + length])
        at += length
    return [*parts, content[at:]]
