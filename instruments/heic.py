"""HEIC, as phones write it: decoded in a process of its own that may fall over without harm."""

import json
import subprocess
import sys
from pathlib import Path

from django.core.files.base import File
from PIL import Image

DECODER = Path(__file__).with_name("heic_decoder.py")
LONGEST_SECONDS = 60
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
    command = [sys.executable, "-I", "-W", "ignore", str(DECODER)]
    command += [str(limit) for limit in (largest_pixels, longest_side, shrunk_side)]
    try:
        done = subprocess.run(  # noqa: S603 - our own file and three numbers
            command, input=uploaded.read(), capture_output=True, timeout=LONGEST_SECONDS, check=True
        )
        line, _, pixels = done.stdout.partition(b"\n")
        answer = json.loads(line)
    except (subprocess.SubprocessError, ValueError) as error:
        raise NotDecodable("the HEIC decoder could not finish") from error
    if "mode" not in answer:
        return answer["width"], answer["height"], None
    picture = Image.frombytes(answer["mode"], tuple(answer["shrunk"]), pixels)
    picture.info = {part: bytes.fromhex(answer[part]) for part in ("exif", "icc_profile") if answer[part]}
    return answer["width"], answer["height"], picture
