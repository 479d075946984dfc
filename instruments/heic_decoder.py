"""Decodes one HEIC in a process of its own; started by `instruments.heic`, never imported.

    python heic_decoder.py LARGEST_PIXELS LONGEST_SIDE SHRUNK_SIDE < photo.heic > answer

The decoder is written in C and one wrong byte in a file can end the process that runs it; here that costs
one photo and no worker. The answer is one line of JSON and, when the measures allow, the pixels.
"""

import io
import json
import os
import resource
import sys

import pi_heif
from PIL import Image

LARGEST_MEMORY_BYTES = 1_500_000_000
LONGEST_SECONDS = 30


def main(largest_pixels: int, longest_side: int, shrunk_side: int) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (LARGEST_MEMORY_BYTES, LARGEST_MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (LONGEST_SECONDS, LONGEST_SECONDS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    os.nice(10)
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
