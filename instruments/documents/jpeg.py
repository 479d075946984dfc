"""Reading a JPEG without decoding it: its size, and its picture without anything hidden beside it."""

import re
from dataclasses import dataclass

START = b"\xff\xd8"
END_OF_IMAGE, START_OF_SCAN, COMMENT = 0xD9, 0xDA, 0xFE
FRAMES = {0xC0, 0xC1, 0xC2}  # baseline, extended, progressive: what PDF readers show
KEPT_APPLICATION_DATA = {0xE0, 0xEE}  # JFIF, and the note on how colours are coded
# Within the picture data a marker is FF and anything but 00 (an escaped FF), a restart or a fill byte.
NEXT_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")


@dataclass(frozen=True)
class Jpeg:
    data: bytes
    width: int
    height: int
    components: int

    @property
    def aspect(self) -> float:
        return self.width / self.height


def read_jpeg(data: bytes) -> Jpeg:
    """Walk the segments; leave out EXIF, XMP, colour profiles, comments and whatever follows the picture.

    Raises ValueError when this is no JPEG that a PDF can show. The picture must already stand upright,
    since the note that tells which way up it was taken goes with the rest.
    """
    if not data.startswith(START):
        raise ValueError("not a JPEG")
    kept, size, has_picture = [START], None, False
    for marker, segment in _segments(data):
        has_picture |= marker == START_OF_SCAN
        if marker in FRAMES:
            size = _size(segment)
        if not _hides_something(marker):
            kept.append(segment)
    if not has_picture or size is None or 0 in size or size[2] not in {1, 3, 4}:
        raise ValueError("a JPEG without a picture")
    return Jpeg(b"".join(kept), *size)


def _segments(data: bytes):
    """Each marker with its bytes; a scan's bytes run on to the marker after its picture data."""
    position = len(START)
    while True:
        while data[position : position + 2] == b"\xff\xff":
            position += 1
        if len(data) < position + 2 or data[position] != 0xFF:
            raise ValueError("a JPEG cut short or broken")
        marker = data[position + 1]
        if marker == END_OF_IMAGE:
            yield marker, data[position : position + 2]
            return
        length = int.from_bytes(data[position + 2 : position + 4], "big")
        end = position + 2 + length
        if marker == START_OF_SCAN:
            following = NEXT_MARKER.search(data, end)
            end = following.start() if following else len(data) + 1
        if length < 2 or end > len(data):
            raise ValueError("a JPEG cut short or broken")
        yield marker, data[position:end]
        position = end


def _size(segment: bytes) -> tuple[int, int, int]:
    if len(segment) < 10:
        raise ValueError("a JPEG with a broken frame")
    height, width = int.from_bytes(segment[5:7], "big"), int.from_bytes(segment[7:9], "big")
    return width, height, segment[9]


def _hides_something(marker: int) -> bool:
    return marker == COMMENT or (0xE0 <= marker <= 0xEF and marker not in KEPT_APPLICATION_DATA)
