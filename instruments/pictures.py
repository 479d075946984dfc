"""Opening a file that claims to be a photo, and redrawing it. This is where Pillow is kept on a short lead.

The order matters: what kind it is, then its measures, and only then its pixels.
"""

import struct
from dataclasses import dataclass
from datetime import date, datetime
from io import BytesIO

from django.core.files.base import File
from PIL import Image, ImageCms, UnidentifiedImageError

from instruments.heic import decoded_heic, is_heic

# Phones' multi-picture JPEGs are opened by the JPEG reader and then call themselves MPO.
READERS = ("JPEG", "PNG", "WEBP")
MEDIA_TYPES = {
    "JPEG": "image/jpeg",
    "MPO": "image/jpeg",
    "PNG": "image/png",
    "WEBP": "image/webp",
}
MOST_SINGLE_BYTES = 20_000
LARGEST_PIXELS = 60_000_000
LONGEST_SIDE = 15_000
# `medium` is what a telephone's screen takes across its whole width.
PRINT_SIDE, PAGE_SIDE, MEDIUM_SIDE, THUMB_SIDE = 2048, 1280, 800, 400

SRGB = ImageCms.createProfile("sRGB")
# What Pillow and its decoders raise on files that lie about themselves.
DECODING_FAILS = (
    OSError,
    ValueError,
    SyntaxError,
    EOFError,
    KeyError,
    IndexError,
    TypeError,
    RuntimeError,
    OverflowError,
    MemoryError,
    struct.error,
    Image.DecompressionBombError,
)

EXIF_ORIENTATION, EXIF_CAMERA_PART, EXIF_TAKEN_AT = 0x0112, 0x8769, 0x9003
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
ON_THEIR_SIDE = {5, 6, 7, 8}

DAMAGED = "is damaged or not complete: it cannot be opened to the end. Send it again, or take another."
ACCEPTED = "photos can be JPEG, PNG, WebP or HEIC."
OTHER_KINDS = (
    (0, b"\xff\xd8\xff", DAMAGED),
    (0, b"\x89PNG", DAMAGED),
    (0, b"RIFF", DAMAGED),
    (0, b"GIF8", f"is a GIF; {ACCEPTED}"),
    (0, b"II*\x00", f"is a TIFF or raw camera file; {ACCEPTED}"),
    (0, b"MM\x00*", f"is a TIFF or raw camera file; {ACCEPTED}"),
    (0, b"%!PS", f"is a PostScript drawing; {ACCEPTED}"),
    (0, b"\xc5\xd0\xd3\xc6", f"is a PostScript drawing; {ACCEPTED}"),
    (0, b"%PDF", f"is a PDF; {ACCEPTED}"),
    (0, b"BM", f"is a bitmap (BMP); {ACCEPTED}"),
    (0, b"PK\x03\x04", f"is a zip or office file; {ACCEPTED}"),
    (0, b"<", f"is a web page or SVG drawing; {ACCEPTED}"),
    (4, b"ftypavi", f"is an AVIF; {ACCEPTED}"),
    (4, b"ftyp", f"is a video; {ACCEPTED}"),
)


class Skimmed:
    """A file that its reader may not stumble through byte by byte.

    Between the parts of a JPEG anything may stand, and Pillow looks for the next part one byte at a time:
    megabytes of zeros after a JPEG's first three bytes would keep a processor busy for minutes.
    """

    def __init__(self, file: File):
        self._file, self._single_bytes = file, 0

    def read(self, size: int = -1) -> bytes:
        self._single_bytes += size == 1
        if self._single_bytes > MOST_SINGLE_BYTES:
            raise SyntaxError("no picture was found within reach")
        return self._file.read(size)

    def __getattr__(self, name: str):
        return getattr(self._file, name)


class PhotoRefused(Exception):
    """A file that cannot be taken as a photo; the message is a sentence for the person who sent it."""

    def __init__(self, sentence: str):
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True)
class OpenedPhoto:
    """A picture of a kind and measures we take. Width and height are the file's own, before it is turned."""

    image: Image.Image
    media_type: str
    width: int
    height: int


def opened_photo(uploaded: File, name: str) -> OpenedPhoto:
    """Look at the kind and the measures; only a HEIC is decoded already, and that elsewhere."""
    uploaded.seek(0)
    if is_heic(uploaded.read(12)):
        width, height, image = decoded_heic(
            uploaded, largest_pixels=LARGEST_PIXELS, longest_side=LONGEST_SIDE, shrunk_side=PRINT_SIDE
        )
        if image is None:
            raise PhotoRefused(_too_many_pixels(name, width, height))
        return OpenedPhoto(image, "image/heic", width, height)
    try:
        image = Image.open(Skimmed(uploaded), formats=READERS)
    except UnidentifiedImageError as error:
        raise PhotoRefused(_what_it_is_instead(uploaded, name)) from error
    except Image.DecompressionBombError as error:
        raise PhotoRefused(_too_many_pixels(name)) from error
    width, height = image.size
    if width * height > LARGEST_PIXELS or max(width, height) > LONGEST_SIDE:
        raise PhotoRefused(_too_many_pixels(name, width, height))
    if image.format in {"PNG", "WEBP"} and getattr(image, "n_frames", 1) > 1:
        raise PhotoRefused(f"{name} is an animation; send a single picture.")
    return OpenedPhoto(image, MEDIA_TYPES[image.format], width, height)


def _too_many_pixels(name: str, width: int = 0, height: int = 0) -> str:
    measures = f"{width} by {height} pixels" if width else "far too many pixels"
    return (
        f"{name} has {measures}; a photo may have 60 megapixels and a longest side of 15,000. "
        "Choose a smaller picture size in the camera."
    )


def _what_it_is_instead(uploaded: File, name: str) -> str:
    uploaded.seek(0)
    start = uploaded.read(64).removeprefix(b"\xef\xbb\xbf").lstrip()
    for at, mark, words in OTHER_KINDS:
        if start[at:].startswith(mark):
            return f"{name} {words}"
    return f"{name} is not a photo we can read; {ACCEPTED}"


def camera_notes(image: Image.Image) -> tuple[int, date | None]:
    """How the camera was held and the day it thought it was. A broken note refuses no picture."""
    try:
        notes = image.getexif()
        turn = notes.get(EXIF_ORIENTATION, 1)
        taken_at = str(notes.get_ifd(EXIF_CAMERA_PART).get(EXIF_TAKEN_AT, ""))
    except DECODING_FAILS:
        return 1, None
    try:
        taken_on = datetime.strptime(taken_at[:10], "%Y:%m:%d").date()
    except ValueError:
        taken_on = None
    return (turn if turn in TURNS else 1), taken_on


def redrawn(image: Image.Image, turn: int) -> tuple[bytes, bytes, bytes, bytes]:
    """Thumb, medium, page and print pictures: decoded once, then each made from the next larger."""
    if image.mode not in {"RGB", "RGBA", "L", "CMYK"}:
        image = _eight_bits(image)
    # Shrinking first lets the JPEG reader decode at half or quarter size, and leaves less to convert.
    image.thumbnail((PRINT_SIDE, PRINT_SIDE), reducing_gap=2.0)
    picture = _in_srgb(image)
    if turn in TURNS:
        picture = picture.transpose(TURNS[turn])
    # Pillow writes a JPEG's comment back on saving, whatever was done in between: forget all of it.
    picture.info.clear()
    printed = _saved(picture, "JPEG", quality=85, optimize=True)
    picture.thumbnail((PAGE_SIDE, PAGE_SIDE))
    page = _saved(picture, "WEBP", quality=82, method=2)
    picture.thumbnail((MEDIUM_SIDE, MEDIUM_SIDE))
    medium = _saved(picture, "WEBP", quality=80, method=2)
    picture.thumbnail((THUMB_SIDE, THUMB_SIDE))
    return _saved(picture, "WEBP", quality=78, method=4), medium, page, printed


def reduced_jpeg(printed: bytes, *, side: int) -> bytes:
    """One of our own print pictures, no longer than `side` pixels, for a paper that shows it small."""
    with Image.open(BytesIO(printed), formats=("JPEG",)) as picture:
        picture.thumbnail((side, side), reducing_gap=2.0)
        return _saved(picture, "JPEG", quality=82, optimize=True)


def _eight_bits(image: Image.Image) -> Image.Image:
    if image.mode.startswith("I"):  # sixteen-bit grey, which Pillow would clip to white
        return image.convert("I").point(lambda value: value / 256).convert("L")
    return image.convert("RGBA" if image.has_transparency_data else "RGB")


def _in_srgb(image: Image.Image) -> Image.Image:
    """RGB on white. WebP and JPEG lose the profile here, so wide-gamut colours are turned into sRGB."""
    profile = image.info.get("icc_profile")
    if image.has_transparency_data:
        layer = image.convert("RGBA")
        image = Image.new("RGB", layer.size, "white")
        image.paste(layer, mask=layer.getchannel("A"))
    if profile:
        try:
            return ImageCms.profileToProfile(image, BytesIO(profile), SRGB, outputMode="RGB")
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            return image.convert("RGB")  # a profile for another kind of picture, or a broken one
    return image.convert("RGB")


def _saved(picture: Image.Image, kind: str, **options) -> bytes:
    target = BytesIO()
    picture.save(target, kind, exif=b"", icc_profile=b"", **options)
    return target.getvalue()
