"""Files that people, phones and ill-wishers send as photos, built here: (name, bytes) by what they are."""

import base64
import struct
import zlib
from io import BytesIO

from PIL import Image, ImageCms, PngImagePlugin

# 64 x 48 pixels, red and blue, held upright (orientation 6), with a maker's name, a place and a day in its
# EXIF. Made once with a HEIC encoder, since the decoder we ship cannot write the format.
HEIC = base64.b64decode(
    "AAAAHGZ0eXBoZWljAAAAAG1pZjFoZWljbWlhZgAAAchtZXRhAAAAAAAAACFoZGxyAAAAAAAAAABwaWN0AAAAAAAAAAAAAAAAAAAA"
    "ADRpbG9jAAAAAERAAAIAAQAAAAAB7AABAAAAAAAAACEAAgAAAAACDQABAAAAAAAAALgAAAA4aWluZgAAAAAAAgAAABVpbmZlAgAA"
    "AAABAABodmMxAAAAABVpbmZlAgAAAQACAABFeGlmAAAAAA5waXRtAAAAAAABAAABB2lwcnAAAADmaXBjbwAAAHZodmNDAQNwAAAA"
    "kAAAAAAAHvAA/P34+AAADwNgAAEAGEABDAH//wNwAAADAJAAAAMAAAMAHroCQGEAAQAqQgEBA3AAAAMAkAAAAwAAAwAeoCCBBZbq"
    "5Ka5uAhoMCAAAAMDIAAAAwAhYgABAAZEAcFzwIkAAAATY29scm5jbHgAAQANAAaAAAAAFGlzcGUAAAAAAAAAQAAAAEAAAAAoY2xh"
    "cAAAAEAAAAABAAAAMAAAAAEAAAAAAAAAAv////AAAAACAAAAEHBpeGkAAAAAAwgICAAAAAlpcm90AwAAABlpcG1hAAAAAAAAAAEA"
    "AQaBAgMFhIYAAAAaaXJlZgAAAAAAAAAOY2RzYwACAAEAAQAAAOFtZGF0AAAAHSgBrwQY+Mpx1//3L5P2Xk+LHYBy1V/yVh+n7u7/"
    "AAAABkV4aWYAAE1NACoAAAAIAAQBDwACAAAAFAAAAD4BEgADAAAAAQAGAACHaQAEAAAAAQAAAFKIJQAEAAAAAQAAAHgAAAAASGlk"
    "ZGVuIENhbWVyYSBNYWtlcgAAAZADAAIAAAAUAAAAZAAAAAAyMDI0OjA1OjE3IDEwOjExOjEyAAACAAEAAgAAAAJOAAAAAAIABQAA"
    "AAMAAACWAAAAAAAAADMAAAABAAAAHgAAAAEAAAAAAAAAAQ=="
)
# Its `ispe` box says 64 by 64 (a crop takes that to 64 by 48); the same box saying 60,000 by 60,000.
HEIC_MEASURES = b"ispe" + bytes(4) + struct.pack(">II", 64, 64)
HUGE_MEASURES = b"ispe" + bytes(4) + struct.pack(">II", 60_000, 60_000)
SECRET = "Hidden Camera Maker"
SCRIPT = b"<script>window.pwn = 1</script>"
TAKEN_AT = "2024:05:17 10:11:12"
RED, BLUE = (200, 40, 40), (30, 60, 180)


def picture(size=(64, 48), mode="RGB") -> Image.Image:
    """Blue on the left half, red on the right."""
    image = Image.new("RGB", size, RED)
    image.paste(BLUE, (0, 0, size[0] // 2, size[1]))
    return image.convert(mode)


def encoded(image: Image.Image, kind: str, **options) -> bytes:
    target = BytesIO()
    image.save(target, kind, **options)
    return target.getvalue()


def camera_notes(orientation: int = 1) -> Image.Exif:
    """EXIF as a phone writes it: maker, how it was held, when, and where it stood."""
    notes = Image.Exif()
    notes[0x0112] = orientation
    notes[0x010F] = SECRET
    notes.get_ifd(0x8769)[0x9003] = TAKEN_AT
    notes.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 0.0), 3: "W", 4: (0.0, 7.0, 0.0)})
    return notes


XMP = f'<x:xmpmeta xmlns:x="adobe:ns:meta/"><a>{SECRET} GPSLatitude</a></x:xmpmeta>'.encode()


def png_chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png_of(width: int, height: int, *chunks: bytes, rows: bytes | None = None) -> bytes:
    """A one-bit PNG written by hand, so that even one of 3,600 megapixels costs a few kilobytes.

    Where `rows` are not given it ends after a megabyte of them: one that is to be decoded whole gives all.
    """
    header = png_chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0))
    if rows is None:
        rows = b"\x00" * min(height * (1 + (width + 7) // 8), 1_000_000)
    pixels = png_chunk(b"IDAT", zlib.compress(rows, 9))
    return b"\x89PNG\r\n\x1a\n" + header + b"".join(chunks) + pixels + png_chunk(b"IEND", b"")


def text_bomb() -> bytes:
    squeezed = zlib.compressobj(9)
    body = b"".join(squeezed.compress(b"\x00" * 1_000_000) for _ in range(200)) + squeezed.flush()
    return png_of(8, 8, png_chunk(b"zTXt", b"note\x00\x00" + body))


def png_with_text() -> bytes:
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", SECRET)
    notes.add_text("Long", SECRET * 50, zip=True)
    return encoded(picture(), "PNG", pnginfo=notes, exif=camera_notes(3))


def srgb_profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def good_files() -> dict[str, tuple[str, bytes]]:
    jpeg = encoded(picture((800, 600)), "JPEG")
    return {
        "a plain JPEG": ("fall.jpg", jpeg),
        "a JPEG with a place and a time": ("front.jpg", encoded(picture(), "JPEG", exif=camera_notes(6))),
        "a JPEG with XMP": ("front.jpg", encoded(picture(), "JPEG", xmp=XMP)),
        "a JPEG with a script in its comment": ("x.jpg", encoded(picture(), "JPEG", comment=SCRIPT)),
        "a JPEG with a script behind it": ("x.jpg", jpeg + SCRIPT),
        "a JPEG with a profile": ("x.jpg", encoded(picture(), "JPEG", icc_profile=srgb_profile())),
        "a JPEG with a broken profile": ("x.jpg", encoded(picture(), "JPEG", icc_profile=b"nonsense" * 30)),
        "a JPEG with broken EXIF": (
            "x.jpg",
            encoded(picture(), "JPEG", exif=b"Exif\x00\x00MM\x00*\xff\xff"),
        ),
        "a progressive JPEG": ("x.jpg", encoded(picture((900, 700)), "JPEG", progressive=True)),
        "a CMYK JPEG": ("x.jpg", encoded(picture(mode="CMYK"), "JPEG")),
        "a grey JPEG": ("x.jpg", encoded(picture(mode="L"), "JPEG")),
        "two pictures in one JPEG": (
            "portrait.jpg",
            encoded(picture(), "MPO", save_all=True, append_images=[picture()]),
        ),
        "a JPEG larger than print": ("large.jpg", encoded(picture((4200, 3100)), "JPEG", quality=60)),
        "a PNG": ("keys.png", encoded(picture(), "PNG")),
        "a PNG named .jpg": ("keys.jpg", encoded(picture(), "PNG")),
        "a PNG with text and EXIF": ("keys.png", png_with_text()),
        "a PNG one can see through": ("keys.png", encoded(picture(mode="RGBA"), "PNG")),
        "a PNG of few colours": ("keys.png", encoded(picture(mode="P"), "PNG", transparency=0)),
        "a sixteen-bit PNG": ("keys.png", encoded(Image.new("I;16", (40, 30), 40_000), "PNG")),
        "a one-bit PNG": ("keys.png", png_of(40, 30)),
        "a WebP with EXIF and XMP": (
            "lid.webp",
            encoded(picture(), "WEBP", exif=camera_notes(8).tobytes(), xmp=XMP),
        ),
        "a WebP without loss": ("lid.webp", encoded(picture(mode="RGBA"), "WEBP", lossless=True)),
        "a HEIC from a phone": ("IMG_2041.HEIC", HEIC),
        "a HEIC named .jpg": ("IMG_2041.jpg", HEIC),
        "a photo of one pixel": ("dot.png", encoded(picture((1, 1)), "PNG")),
        "a very long strip": ("strip.png", encoded(picture((14_000, 2)), "PNG")),
    }


def bad_files() -> dict[str, tuple[str, bytes]]:
    jpeg = encoded(picture((800, 600)), "JPEG")
    still, moved = picture((20, 20)), Image.new("RGB", (20, 20), "green")
    moving = {"save_all": True, "append_images": [moved]}
    return {
        "nothing": ("empty.jpg", b""),
        "one byte": ("one.jpg", b"\xff"),
        "half a JPEG": ("half.jpg", jpeg[: len(jpeg) // 2]),
        "a JPEG without its tail": ("tail.jpg", jpeg[:-80]),
        "half a PNG": ("half.png", (whole := encoded(picture((300, 200)), "PNG"))[: len(whole) // 2]),
        "half a WebP": ("half.webp", (webp := encoded(picture((300, 200)), "WEBP"))[: len(webp) // 2]),
        "half a HEIC": ("half.heic", HEIC[: len(HEIC) - 250]),
        # One wrong byte in the property box, and the decoder's own process ends with a segmentation fault.
        "a HEIC that breaks its decoder": ("crash.heic", HEIC[:176] + b"\x8a" + HEIC[177:]),
        "a HEIC of bombastic measures": ("bomb.heic", HEIC.replace(HEIC_MEASURES, HUGE_MEASURES)),
        "only a JPEG's header": ("head.jpg", jpeg[:30]),
        "a PNG bomb of 169 megapixels": ("bomb.png", png_of(13_000, 13_000, rows=bytes(13_000 * 1_626))),
        "a PNG bomb of 400 megapixels": ("bomb.png", png_of(20_000, 20_000)),
        "a PNG bomb of 3,600 megapixels": ("bomb.png", png_of(60_000, 60_000)),
        "a PNG with 200 MB of text": ("text.png", text_bomb()),
        "a strip of 16,000 pixels": ("strip.png", png_of(16_000, 2)),
        "a PNG of no width": ("flat.png", png_of(0, 10)),
        "a PostScript drawing named .jpg": ("plan.jpg", b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n"),
        "a DOS PostScript drawing": ("plan.jpg", b"\xc5\xd0\xd3\xc6" + bytes(40)),
        "a GIF": ("anim.gif", encoded(still, "GIF", **moving)),
        "a GIF that is also a script": ("x.jpg", b"GIF89a/*" + bytes(20) + b"*/=1;alert(1)//"),
        "a TIFF": ("scan.jpg", encoded(picture(), "TIFF")),
        "an icon": ("icon.png", encoded(picture((32, 32)), "ICO")),
        "a bitmap": ("x.png", encoded(picture(), "BMP")),
        "an AVIF": ("x.jpg", encoded(picture(), "AVIF")),
        "an SVG": ("x.svg", b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'),
        "an SVG named .png": ("x.png", b'\xef\xbb\xbf<?xml version="1.0"?><svg></svg>'),
        "a web page named .jpg": ("x.jpg", b"<!doctype html>" + SCRIPT),
        "a PDF": ("papers.jpg", b"%PDF-1.7\n1 0 obj\n"),
        "a zip": ("photos.jpg", b"PK\x03\x04" + bytes(60)),
        "a video": ("clip.heic", b"\x00\x00\x00\x18ftypqt  " + bytes(60)),
        "a moving PNG": ("x.png", encoded(still, "PNG", **moving)),
        "a moving WebP": ("x.webp", encoded(still, "WEBP", **moving)),
        "plain words": ("x.jpg", b"the quick brown fox"),
        "zeros": ("x.jpg", bytes(5_000)),
    }
