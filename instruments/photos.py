"""Photos as people bring them: checked before they are decoded, then redrawn without what the camera wrote.

The original is kept byte for byte, privately. What pages and papers show are four redrawn pictures that
carry no EXIF, GPS, XMP, comment or colour profile, stand upright and are in sRGB. Nothing here knows of
pages or rows: `prepare_photo` looks, `stored_photos` puts the files away.
"""

import hashlib
import uuid
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date

from django.core.files.base import ContentFile, File
from django.core.files.storage import default_storage

from instruments.file_names import shown_file_name
from instruments.kept_files import may_be_committed
from instruments.pictures import (
    DAMAGED,
    DECODING_FAILS,
    ON_THEIR_SIDE,
    PhotoRefused,
    camera_notes,
    opened_photo,
    redrawn,
)
from instruments.unhurried import unhurried

NOTED = ("original_name", "media_type", "sha256", "byte_count", "width", "height", "taken_on")
FILES = ("original", "thumb", "medium", "page", "print")
ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp", "image/heic": "heic"}
LARGEST_BYTES = 30 * 1024 * 1024


@dataclass(frozen=True)
class PreparedPhoto:
    """A checked photo. Its measures are the original's, standing upright; `original` is the upload itself."""

    original: File = field(repr=False)
    original_name: str
    sha256: str
    byte_count: int
    media_type: str
    width: int
    height: int
    taken_on: date | None
    thumb_webp: bytes = field(repr=False)
    medium_webp: bytes = field(repr=False)
    page_webp: bytes = field(repr=False)
    print_jpeg: bytes = field(repr=False)


def prepare_photo(uploaded: File) -> PreparedPhoto:
    """Check, measure and redraw one uploaded file, or raise `PhotoRefused` naming what is wrong with it."""
    name = shown_file_name(uploaded.name, otherwise="The photo")
    _refuse_size(uploaded, name)
    try:
        # A 60-megapixel picture takes 240 MB while it is decoded: few at a time, whoever uploads.
        opened, turn, taken_on, (thumb, medium, page, printed) = unhurried(_looked_at, uploaded, name)
    except DECODING_FAILS as error:
        raise PhotoRefused(f"{name} {DAMAGED}") from error
    is_on_its_side = turn in ON_THEIR_SIDE
    return PreparedPhoto(
        original=uploaded,
        original_name=name,
        sha256=_sha256(uploaded),
        byte_count=uploaded.size,
        media_type=opened.media_type,
        width=opened.height if is_on_its_side else opened.width,
        height=opened.width if is_on_its_side else opened.height,
        taken_on=taken_on,
        thumb_webp=thumb,
        medium_webp=medium,
        page_webp=page,
        print_jpeg=printed,
    )


def _looked_at(uploaded: File, name: str) -> tuple:
    opened = opened_photo(uploaded, name)
    turn, taken_on = camera_notes(opened.image)
    return opened, turn, taken_on, redrawn(opened.image, turn)


def prepare_photos(uploads: Iterable[File]) -> tuple[list[PreparedPhoto], list[str]]:
    """The good ones, each once, and a sentence for each file that was left out."""
    prepared: dict[str, PreparedPhoto] = {}
    sentences = []
    for uploaded in uploads:
        try:
            photo = prepare_photo(uploaded)
        except PhotoRefused as refusal:
            sentences.append(refusal.sentence)
            continue
        first = prepared.setdefault(photo.sha256, photo)
        if first is not photo:
            sentences.append(f"{photo.original_name} is the same picture as {first.original_name}.")
    return list(prepared.values()), sentences


def _refuse_size(uploaded: File, name: str) -> None:
    if not uploaded.size:
        raise PhotoRefused(f"{name} is empty. It may not have been sent to the end; send it again.")
    if uploaded.size > LARGEST_BYTES:
        raise PhotoRefused(f"{name} is {uploaded.size / 1024 / 1024:.0f} MB; a photo may be up to 30 MB.")


def _sha256(uploaded: File) -> str:
    digest = hashlib.sha256()
    for chunk in uploaded.chunks():  # starts at the beginning
        digest.update(chunk)
    uploaded.seek(0)
    return digest.hexdigest()


def store_photo_files(prepared: PreparedPhoto) -> dict[str, object]:
    """Save the original and the pictures made from it under generated names, all or none.

    The answer holds what a `StoredPicture` row needs: `Photo.objects.create(instrument=..., **answer)`.
    """
    stem = uuid.uuid4().hex
    wanted = {
        "original": (f"originals/{stem}.{ENDINGS[prepared.media_type]}", prepared.original),
        "thumb": (f"photos/{stem}-thumb.webp", ContentFile(prepared.thumb_webp)),
        "medium": (f"photos/{stem}-medium.webp", ContentFile(prepared.medium_webp)),
        "page": (f"photos/{stem}-page.webp", ContentFile(prepared.page_webp)),
        "print": (f"photos/{stem}-print.jpg", ContentFile(prepared.print_jpeg)),
    }
    names: dict[str, str] = {}
    try:
        for part, (name, content) in wanted.items():
            names[part] = default_storage.save(name, content)
    except BaseException:
        _remove(names.values())
        raise
    return names | {name: getattr(prepared, name) for name in NOTED}


class StoredPhotos(list):
    """What each photo's row needs, in the order given; `keep()` says that rows now point at the files."""

    kept = False

    def keep(self) -> None:
        self.kept = True


@contextmanager
def stored_photos(prepared: Iterable[PreparedPhoto]) -> Iterator[StoredPhotos]:
    """Put the files away before the transaction begins; take them out again unless it took them.

    The files go if the block raises, or ends without `keep()` (a repeated POST whose first sending won).
    Call `keep()` inside the transaction, after the rows are made.
    """
    stored = StoredPhotos()
    try:
        for photo in prepared:
            stored.append(store_photo_files(photo))
        yield stored
    except BaseException as error:
        stored.kept = stored.kept and may_be_committed(error)
        raise
    finally:
        if not stored.kept:
            _remove(photo[part] for photo in stored for part in FILES)


def _remove(names: Iterable[str]) -> None:
    for name in names:
        default_storage.delete(name)
