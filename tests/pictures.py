"""Photographs for tests, painted on the spot: no file lies in the repository."""

from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from instruments.photos import PreparedPhoto, prepare_photo


def picture_bytes(*, colour: str = "sienna", size: tuple[int, int] = (64, 48), kind: str = "JPEG") -> bytes:
    target = BytesIO()
    Image.new("RGB", size, colour).save(target, kind)
    return target.getvalue()


def upload(name: str = "front.jpg", *, colour: str = "sienna", kind: str = "JPEG") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, picture_bytes(colour=colour, kind=kind), f"image/{kind.lower()}")


def broken_upload(name: str = "broken.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, picture_bytes()[:200], "image/jpeg")


def prepared(name: str = "front.jpg", *, colour: str = "sienna") -> PreparedPhoto:
    return prepare_photo(upload(name, colour=colour))
