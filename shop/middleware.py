"""What holds for every request: how much it may bring, what browsers may keep of it, what it may not use."""

import logging

from django.conf import settings
from django.db import InterfaceError, OperationalError
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from shop.db.sqlite.gate import DatabaseBusy

logger = logging.getLogger(__name__)

MEGABYTE = 1024 * 1024
STRANGERS_LIMIT_BYTES = 1 * MEGABYTE
FORM_LIMIT_BYTES = 5 * MEGABYTE
UPLOAD_LIMIT_BYTES = 400 * MEGABYTE
POWERS_WE_LEAVE_ALONE = (
    "camera=(self), microphone=(self), accelerometer=(), display-capture=(), geolocation=(), gyroscope=(), "
    "magnetometer=(), midi=(), payment=(), usb=()"
)


class BodyLimit:
    """Refuse what is too large before a byte of it is read.

    Django reads the whole of a form when it looks for the CSRF token, which is before it asks who is there:
    a stranger could fill the disk. So this stands before CsrfViewMiddleware, and acts where that does, when
    the view is known and the session is at hand. (Without a Content-Length Django reads nothing at all.)
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        length = int(request.META.get("CONTENT_LENGTH") or 0)
        if length <= STRANGERS_LIMIT_BYTES or length <= _limit_for(request, view):
            return None
        return render(request, "413.html", status=413)


def _limit_for(request, view) -> int:
    if not request.user.is_authenticated:
        return STRANGERS_LIMIT_BYTES
    return UPLOAD_LIMIT_BYTES if getattr(view, "accepts_uploads", False) else FORM_LIMIT_BYTES


class NoNulInAddresses:
    """No address of ours holds a NUL, and PostgreSQL cannot even be asked about one."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        if any("\0" in str(value) for value in kwargs.values()):
            raise Http404


class Discretion:
    """Nothing of a signed-in page stays behind in a browser, unless the view says otherwise."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        response.setdefault("Permissions-Policy", POWERS_WE_LEAVE_ALONE)
        if settings.SESSION_COOKIE_NAME in request.COOKIES:
            response.setdefault("Cache-Control", "no-store")
        return response


class SilentDatabase:
    """A database that is busy, full or away is told in words, and the same form may be sent again."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        return self.get_response(request)

    def process_exception(self, request, error):
        return answer_for_silent_database(error)


def answer_for_silent_database(error: BaseException | None) -> HttpResponse | None:
    if not isinstance(error, OperationalError | InterfaceError):
        return None
    is_busy = isinstance(error, DatabaseBusy)
    if is_busy:
        logger.warning("The database was busy: %s", error)
    else:
        logger.error("The database did not answer.", exc_info=error)
    # Rendered without the request: a page that asked the database for anything would fail as well.
    page = render_to_string("503.html", {"busy": is_busy})
    return HttpResponse(page, status=503, headers={"Retry-After": "5", "Cache-Control": "no-store"})
