"""Documents as people bring them: looked at from outside, kept byte for byte, never opened by the program."""

import hashlib
import re
import uuid
from contextlib import AbstractContextManager
from dataclasses import dataclass, field

from django.core.files.base import File

from instruments.file_names import shown_file_name
from instruments.kept_files import StoredFile, stored_file
from instruments.photos import ENDINGS, LARGEST_BYTES, prepare_photo

PDF = "application/pdf"
PDF_BEGINS = re.compile(rb"%PDF-[12]\.[0-9]")
# ISO 32000-1, 7.5.5: the last lines of the file are startxref, an offset and %%EOF. Scanners pad a little.
PDF_ENDS = re.compile(rb"startxref\s+[0-9]{1,12}\s+%%EOF\s*\Z")
TAIL_BYTES = 2048
WHOLE = "is a PDF that breaks off before its end. It may not have been sent whole; send it again."


class ScanRefused(Exception):
    """A file that cannot be taken as a document; the message is a sentence for the person who sent it."""

    def __init__(self, sentence: str):
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True)
class PreparedScan:
    upload: File = field(repr=False)
    original_name: str
    media_type: str
    sha256: str
    byte_count: int


def prepare_scan(uploaded: File) -> PreparedScan:
    """Check one PDF or picture; raises ScanRefused or PhotoRefused with what is wrong with it."""
    name = shown_file_name(uploaded.name, otherwise="The document")
    if not uploaded.size:
        raise ScanRefused(f"{name} is empty. It may not have been sent to the end; send it again.")
    if uploaded.size > LARGEST_BYTES:
        raise ScanRefused(f"{name} is {uploaded.size / 1024 / 1024:.0f} MB; a document may be up to 30 MB.")
    uploaded.seek(0)
    if not uploaded.read(5).startswith(b"%PDF-"):
        photo = prepare_photo(uploaded)
        return PreparedScan(uploaded, name, photo.media_type, photo.sha256, photo.byte_count)
    _look_at_pdf(uploaded, name)
    return PreparedScan(uploaded, name, PDF, _sha256(uploaded), uploaded.size)


def _look_at_pdf(uploaded: File, name: str) -> None:
    uploaded.seek(0)
    if not PDF_BEGINS.match(uploaded.read(16)):
        raise ScanRefused(f"{name} calls itself a PDF, but does not begin like one.")
    uploaded.seek(max(0, uploaded.size - TAIL_BYTES))
    if not PDF_ENDS.search(uploaded.read().rstrip(b"\x00")):
        raise ScanRefused(f"{name} {WHOLE}")
    uploaded.seek(0)


def _sha256(uploaded: File) -> str:
    digest = hashlib.sha256()
    for chunk in uploaded.chunks():
        digest.update(chunk)
    uploaded.seek(0)
    return digest.hexdigest()


def stored_scan(prepared: PreparedScan) -> AbstractContextManager[StoredFile]:
    """Put the file away before the transaction begins; take it out again unless a row took it."""
    ending = "pdf" if prepared.media_type == PDF else ENDINGS[prepared.media_type]
    prepared.upload.seek(0)
    noted = ("original_name", "media_type", "sha256", "byte_count")
    return stored_file(
        f"documents/{uuid.uuid4().hex}.{ending}",
        prepared.upload,
        **{each: getattr(prepared, each) for each in noted},
    )
