"""What is said when nothing can be saved, or the records cannot be reached: words, and the form once more.

What was typed stands in the page that says so, behind a button that sends it again. A form that carries a
form token is saved once, however often it is sent (instruments/views/once.py).
"""

import errno
import logging

from django.db import DatabaseError, InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse
from django.http.request import RawPostDataException
from django.template.loader import render_to_string

from shop import read_only
from shop.db.sqlite.gate import DatabaseBusy

logger = logging.getLogger(__name__)

READING = {"GET", "HEAD", "OPTIONS", "TRACE"}
# Names are looked for by POST, so that none stands in an address; nothing is changed by it.
LOOKING = {"/people/", "/choose/person/", "/choose/instrument/", "/stock/log/sellers/"}
KEPT_BYTES = 1024 * 1024  # what a stranger may send: never more is read here than was allowed anyway
CSRF_FIELD = "csrfmiddlewaretoken"
# A full or lost disk, met where files are kept; SQLite says the same in errors of its own.
DISK_TROUBLES = {
    errno.ENOSPC,
    errno.EDQUOT,
    errno.EROFS,
    errno.EIO,
    errno.ESTALE,
    errno.ENOTCONN,
    errno.ENOTDIR,
    errno.EACCES,
    errno.EPERM,
}


class NotNow:
    """Refuse what would change something while only reading is possible; tell a silent database in words.

    Whoever only reads and had to give way is answered on a second try: while a release is rolled out, tables
    are changed one after the other, and a page that asks several of them at once can stand across its way.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        only_looks = request.method in READING or request.path_info in LOOKING
        if not only_looks and (why := read_only.reason()):
            return _said(request, "read_only", why=why)
        response = self.get_response(request)
        if only_looks and getattr(request, "gave_way", False):
            return self.get_response(request)
        return response

    def process_exception(self, request, error):
        return answer_for_trouble(request, error)


def answer_for_trouble(request: HttpRequest, error: BaseException | None) -> HttpResponse | None:
    """A page in words where a database or a disk failed us; None where the fault is our own."""
    if isinstance(error, DatabaseBusy) or (isinstance(error, OperationalError) and "is locked" in str(error)):
        logger.warning("The database was busy: %s", error)
        return _said(request, "busy")
    if _gave_way(error):
        logger.warning("Two waited for each other in the database, and this one gave way.", exc_info=error)
        request.gave_way = True
        return _said(request, "busy")
    if isinstance(error, DatabaseError | InterfaceError) and (why := read_only.reason()):
        logger.warning("The records were being changed underneath.", exc_info=error)
        return _said(request, "read_only", why=why)
    if _is_full(error):
        logger.error("The disk is full.", exc_info=error)
        return _said(request, "full")
    if isinstance(error, OperationalError | InterfaceError):
        logger.error("The database did not answer.", exc_info=error)
        return _said(request, "away")
    if isinstance(error, OSError) and error.errno in DISK_TROUBLES:
        logger.error("The disk did not take a file or give it.", exc_info=error)
        return _said(request, "disk")
    return None


def _gave_way(error: BaseException | None) -> bool:
    # PostgreSQL's deadlock_detected; on SQLite nobody holds one table and waits for another.
    return isinstance(error, OperationalError) and getattr(error.__cause__, "sqlstate", None) == "40P01"


def _is_full(error: BaseException | None) -> bool:
    if isinstance(error, OSError):
        return error.errno in {errno.ENOSPC, errno.EDQUOT}
    cause = error.__cause__ if isinstance(error, OperationalError) else None
    # PostgreSQL gives a class of its own (SQLSTATE 53100), SQLite its words for SQLITE_FULL.
    return getattr(cause, "sqlstate", None) == "53100" or "disk is full" in str(cause)


def _said(request: HttpRequest, trouble: str, why: str = "") -> HttpResponse:
    # Rendered without the request: a page that asked the database for anything would fail as well.
    context = {"trouble": trouble, "why": why} | _typed(request)
    page = render_to_string("503.html", context)
    headers = {"Retry-After": "60" if trouble == "read_only" else "5", "Cache-Control": "no-store"}
    return HttpResponse(page, status=503, headers=headers)


def _typed(request: HttpRequest) -> dict:
    """The fields of a form, to be sent again as they are. No password, and files only by their names.

    The CSRF token is the one that was sent and no other: a page of somebody else's gains nothing by it.
    """
    if request.method != "POST" or int(request.META.get("CONTENT_LENGTH") or 0) > KEPT_BYTES:
        return {}
    try:
        lists, files = list(request.POST.lists()), [each.name for each in request.FILES.values()]
    except (OSError, ValueError, RawPostDataException):  # cut off on its way, or read in part already
        return {}
    fields = [(name, value) for name, values in lists if name != CSRF_FIELD for value in values]
    if not fields or any("password" in name for name, _ in fields):
        return {}
    return {
        "address": request.get_full_path(),
        "fields": fields,
        "files": files,
        "csrf_token": request.POST.get(CSRF_FIELD, ""),
    }
