"""Decodes one HEIC; run apart (apart.py) for `instruments.heic`, never imported.

    heic_decoder.py LARGEST_PIXELS LONGEST_SIDE SHRUNK_SIDE < photo.heic > answer

The answer is one line of JSON and, when the measures allow, the pixels.
"""

import io
import json
import sys

import pi_heif
from PIL import Image


def main(largest_pixels: int, longest_side: int, shrunk_side: int) -> None:
    pi_heif.register_heif_opener(thumbnails=False, depth_images=False, aux_images=False)
    image = Image.open(io.BytesIO(sys.stdin.buffer.read()), formats=("HEIF",))
    width, height = image.size
    answer = {"width": width, "height": height}
    if width * height > largest_pixels or max(width, height) > longest_side:
        print(json.dumps(answer))
        return
    image.thumbnail((shrunk_side, shrunk_side))
    if image.mode not in {"RGB", "RGBA", "L"}:
        image = image.convert("RGB")
    answer |= {"mode": image.mode, "shrunk": image.size}
    answer |= {part: (image.info.get(part) or b"").hex() for part in ("exif", "icc_profile")}
    sys.stdout.buffer.write(json.dumps(answer).encode() + b"\n" + image.tobytes())


main(*map(int, sys.argv[1:4]))
