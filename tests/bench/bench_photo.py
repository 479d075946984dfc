"""How much dearer it is to take a photograph in than to shrink it bare, with Pillow and with libvips.

    python -m tests.bench.bench_photo

A synthetic 12-megapixel JPEG; the same sizes in the same formats. Ours also checks what the file is, turns
it, brings its colours into sRGB, takes hidden data out and hashes it. Medians of wall time, in turn; the bars
are 1.3 times bare Pillow and 3.5 times libvips (left out where pyvips is not installed), and 200 MB at most,
measured in a process that does nothing else.
"""

import json
import os
import re
import subprocess
import sys
from contextlib import suppress
from io import BytesIO
from pathlib import Path

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

import django
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from instruments.photos import prepare_photo
from instruments.pictures import redrawn
from instruments.unhurried import unhurried
from tests.bench.interleaving import interleaved

with suppress(ImportError, OSError):
    import pyvips

ROUNDS = 9
WIDTH, HEIGHT = 4000, 3000


def photograph() -> bytes:
    """Soft noise: as hard to pack as a real photograph, more or less."""
    target = BytesIO()
    noise = Image.frombytes("RGB", (WIDTH // 4, HEIGHT // 4), os.urandom(WIDTH * HEIGHT * 3 // 16))
    noise.resize((WIDTH, HEIGHT), Image.Resampling.BICUBIC).save(target, "JPEG", quality=88)
    return target.getvalue()


def sizes_of(taken: bytes) -> list[tuple[str, tuple[int, int], bytes]]:
    """What ours makes of it: format and measures, so that the others make the same."""
    with Image.open(BytesIO(taken)) as image:
        made = redrawn(image, 1)
    found = []
    for each in made:
        with Image.open(BytesIO(each)) as picture:
            found.append((picture.format, picture.size))
    return sorted(found, key=lambda one: -one[1][0])


def bare_pillow(taken: bytes, sizes: list) -> None:
    """Decoded once at a reduced scale, then shrunk from size to size."""
    image = Image.open(BytesIO(taken))
    image.draft("RGB", sizes[0][1])
    image.load()
    for kind, size in sizes:
        image = image.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)
        image.save(BytesIO(), kind, quality=82, **({"method": 2} if kind == "WEBP" else {}))


def bare_vips(taken: bytes, sizes: list) -> None:
    for kind, (width, _) in sizes:
        picture = pyvips.Image.thumbnail_buffer(taken, width)
        ending = ".webp[Q=82,effort=2,strip]" if kind == "WEBP" else ".jpg[Q=82,strip]"
        picture.write_to_buffer(ending)


def main() -> None:
    django.setup()
    taken = photograph()
    sizes = sizes_of(taken)
    acts = {
        "ours": lambda: prepare_photo(SimpleUploadedFile("piano.jpg", taken, "image/jpeg")),
        # Where ours does it too: in a thread that gives way to whatever else the machine does.
        "Pillow": lambda: unhurried(bare_pillow, taken, sizes),
    }
    if "pyvips" in globals():
        acts["libvips"] = lambda: unhurried(bare_vips, taken, sizes)
    found = interleaved(acts, rounds=ROUNDS)
    print(json.dumps({"ms": found, "memory_mb": memory_of(taken), "bytes": len(taken)}))


def memory_of(taken: bytes) -> int:
    command = [sys.executable, "-m", "tests.bench.bench_photo", "--memory"]
    return int(subprocess.run(command, input=taken, capture_output=True, check=True).stdout)


def tell_memory() -> None:
    django.setup()
    prepare_photo(SimpleUploadedFile("piano.jpg", sys.stdin.buffer.read(), "image/jpeg"))
    # Of this program alone: `ru_maxrss` begins from what the process had that started it.
    status = Path("/proc/self/status").read_text()
    print(int(re.search(r"^VmHWM:\s+(\d+)", status, re.MULTILINE)[1]) // 1024)


if __name__ == "__main__":
    tell_memory() if "--memory" in sys.argv else main()
