"""Sending a stored file to somebody whom the view has already let in.

There is no open media folder: every file goes through a view, and every answer through here. It serves
parts of files (recordings are listened to from the middle), says when nothing has changed, shows only
pictures and plays only sounds in the page, hands everything else over as a download, and lets no file run as
a page.
"""

import hashlib
import logging
import re
from collections.abc import Iterator
from typing import BinaryIO

from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.utils.cache import get_conditional_response
from django.utils.http import content_disposition_header, http_date

from instruments.file_names import shown_file_name

logger = logging.getLogger(__name__)

SHOWN_IN_THE_PAGE = {"image/jpeg", "image/png", "image/webp", "audio/mpeg", "audio/wav"}
PIECE_BYTES = 64 * 1024
ONE_RANGE = re.compile(r"bytes=(?:(\d{1,18})-(\d{1,18})?|-(\d{1,18}))")
# A day, not a year: a picture that was public may be taken back.
PUBLIC_CACHING = "public, max-age=86400, immutable"
# Kept by this browser alone, and shown again only after asking whether its user still may.
PRIVATE_CACHING = "private, no-cache"


def serve_file(
    request: HttpRequest,
    field_file: FieldFile,
    *,
    media_type: str,
    public: bool = False,
    download_name: str | None = None,
) -> HttpResponse | FileResponse | StreamingHttpResponse:
    """The file, or the part asked for (206), or "not changed" (304); 416 for a part that is not there.

    Pictures and sounds are shown, unless they are given a `download_name`; all else is a download. A row
    whose file has gone answers 404 and is noted in the log.
    """
    if not field_file:
        raise Http404("There is no file here.")
    try:
        file, size = field_file.storage.open(field_file.name, "rb"), field_file.size
    except FileNotFoundError as error:
        logger.error("The stored file %s is missing.", field_file.name)
        raise Http404("This file is missing from the store.") from error
    etag, changed_at = _marks(field_file, size)
    answer = get_conditional_response(request, etag=etag, last_modified=changed_at)
    if answer is None:
        answer = _body(request, file, size, etag, changed_at)
    else:
        file.close()
    answer["Content-Type"] = media_type
    answer["Cache-Control"] = PUBLIC_CACHING if public else PRIVATE_CACHING
    answer["Content-Disposition"] = _disposition(media_type, download_name)
    answer["ETag"], answer["Last-Modified"] = etag, http_date(changed_at)
    answer["Accept-Ranges"] = "bytes"
    answer["X-Content-Type-Options"] = "nosniff"
    # Whatever the bytes claim to be, they get no script, no form and no origin.
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox"
    answer["Cross-Origin-Resource-Policy"] = "same-origin"
    return answer


def _marks(field_file: FieldFile, size: int) -> tuple[str, int]:
    """A file never changes under its generated name, so the name and the size are mark enough."""
    mark = hashlib.sha256(f"{field_file.name}:{size}".encode()).hexdigest()[:32]
    return f'"{mark}"', int(field_file.storage.get_modified_time(field_file.name).timestamp())


def _body(request: HttpRequest, file: BinaryIO, size: int, etag: str, changed_at: int):
    asked = _asked_range(request, size, etag, changed_at)
    if asked is None:
        answer = FileResponse(file)
        answer["Content-Length"] = size
        return answer
    first, last = asked
    if first > last or first >= size:
        file.close()
        return HttpResponse(status=416, headers={"Content-Range": f"bytes */{size}"})
    answer = StreamingHttpResponse(_pieces(file, first, last - first + 1), status=206)
    answer["Content-Range"], answer["Content-Length"] = f"bytes {first}-{last}/{size}", last - first + 1
    return answer


def _asked_range(request: HttpRequest, size: int, etag: str, changed_at: int) -> tuple[int, int] | None:
    """First and last byte asked for (RFC 9110, section 14). Several parts at once are answered whole."""
    asked = ONE_RANGE.fullmatch(request.headers.get("Range", "").strip())
    if request.method != "GET" or asked is None:
        return None
    if request.headers.get("If-Range", etag) not in {etag, http_date(changed_at)}:
        return None
    first, last, suffix = asked.groups()
    if suffix is not None:  # the last so many bytes
        return (size - min(int(suffix), size), size - 1) if int(suffix) else (size, size)
    if last is not None and int(last) < int(first):
        return None  # not a range at all: to be ignored
    return int(first), min(int(last), size - 1) if last is not None else size - 1


def _pieces(file: BinaryIO, first: int, count: int) -> Iterator[bytes]:
    with file:
        file.seek(first)
        while count and (piece := file.read(min(PIECE_BYTES, count))):
            count -= len(piece)
            yield piece


def _disposition(media_type: str, download_name: str | None) -> str:
    if download_name is None:
        return "inline" if media_type in SHOWN_IN_THE_PAGE else "attachment"
    return content_disposition_header(True, shown_file_name(download_name))
