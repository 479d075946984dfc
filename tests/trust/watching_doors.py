"""The shop with somebody beside the gate of its SQLite file: how long it is held, and for what."""

import os
import smtplib
import time
from pathlib import Path

from django.conf import settings
from django.core.files.storage import FileSystemStorage
from django.db import connection
from PIL import Image, ImageFile
from reportlab.pdfgen.canvas import Canvas

from instruments import photos as uploads
from instruments.views import photos
from shop.db.sqlite import base
from shop.db.sqlite.gate import Gate
from shop.wsgi import application

SLOW_WORK = {
    "a picture is decoded": (ImageFile.ImageFile, "load"),
    "a picture is written": (Image.Image, "save"),
    "a file is put away": (FileSystemStorage, "_save"),
    "a paper is printed": (Canvas, "save"),
    "a letter is sent": (smtplib.SMTP, "connect"),
}
HELD, INSIDE = "held", "inside"


def watched():
    """Notes each time the gate was held, and slow work inside a transaction, as lines of two files."""
    take, leave = Gate.take, Gate.leave

    def taking(gate):
        take(gate)
        gate.since = getattr(gate, "since", None) or (time.monotonic(), time.thread_time())

    def leaving(gate):
        if gate.is_held and getattr(gate, "since", None):
            begun, work = gate.since
            _note(HELD, f"{(time.monotonic() - begun) * 1000:.3f} {(time.thread_time() - work) * 1000:.3f}")
            gate.since = None
        leave(gate)

    Gate.take, Gate.leave = taking, leaving
    for words, (owner, name) in SLOW_WORK.items():
        setattr(owner, name, _told_of(getattr(owner, name), words))
    return application


def drawing_inside():
    """A picture is opened while the transaction is open."""
    attach = photos.attach_pictures

    def slowly(*, pictures, **given):
        for picture in pictures:
            with FileSystemStorage(settings.MEDIA_ROOT).open(picture["original"]) as kept:
                Image.open(kept).load()
        return attach(pictures=pictures, **given)

    photos.attach_pictures = slowly
    return watched()


def not_in_line():
    """Without the gate, and without the patience that SQLite itself would have."""
    settings.DATABASES["default"]["OPTIONS"]["timeout"] = 0
    connection.settings_dict["OPTIONS"]["timeout"] = 0
    base.DatabaseWrapper._take_gate = lambda wrapper: None
    return application


def painting_at_once():
    """Photographs are redrawn where they come in, as many as come, at the rank of the pages."""
    uploads.unhurried = lambda work, *given: work(*given)
    return application


def _told_of(act, words: str):
    def told(*given, **named):
        if connection.in_atomic_block:
            _note(INSIDE, words)
        return act(*given, **named)

    return told


def _note(name: str, words: str) -> None:
    descriptor = os.open(Path(settings.DATA_DIR) / name, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    os.write(descriptor, f"{words}\n".encode())
    os.close(descriptor)
