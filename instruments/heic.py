"""HEIC, as phones write it: decoded in a process of its own that may fall over without harm."""

from pathlib import Path

from django.core.files.base import File
from PIL import Image

from instruments.apart import FellOver, answered_apart

DECODER = Path(__file__).with_name("heic_decoder.py")
HEIC_BRANDS = {b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"}


class NotDecodable(ValueError):
    """The decoder gave up on the file, or fell over it."""


def is_heic(start: bytes) -> bool:
    """By the first twelve bytes: a box called `ftyp` and its major brand (ISO/IEC 23008-12)."""
    return start[4:8] == b"ftyp" and start[8:12] in HEIC_BRANDS


def decoded_heic(
    uploaded: File, *, largest_pixels: int, longest_side: int, shrunk_side: int
) -> tuple[int, int, Image.Image | None]:
    """Width and height, standing upright, and the picture shrunk to fit; no picture where it is too large."""
    uploaded.seek(0)
    try:
        answer, pixels = answered_apart(DECODER, uploaded.read(), largest_pixels, longest_side, shrunk_side)
    except FellOver as error:
        raise NotDecodable("the HEIC decoder could not finish") from error
    if "mode" not in answer:
        return answer["width"], answer["height"], None
    picture = Image.frombytes(answer["mode"], tuple(answer["shrunk"]), pixels)
    picture.info = {part: bytes.fromhex(answer[part]) for part in ("exif", "icc_profile") if answer[part]}
    return answer["width"], answer["height"], picture
