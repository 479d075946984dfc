"""What holds for every request: how much it may bring, what browsers may keep of it, what it may not use."""

import re
from urllib.parse import urlsplit

from django.conf import settings
from django.http import Http404, HttpResponse
from django.shortcuts import render, resolve_url

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
        if length <= STRANGERS_LIMIT_BYTES or length <= _limit_for(request, view, kwargs):
            return None
        return render(request, "413.html", status=413)


def _limit_for(request, view, kwargs) -> int:
    if not request.user.is_authenticated:
        limit = getattr(view, "strangers_limit", None)
        return max(STRANGERS_LIMIT_BYTES, limit(**kwargs)) if limit else STRANGERS_LIMIT_BYTES
    return UPLOAD_LIMIT_BYTES if getattr(view, "accepts_uploads", False) else FORM_LIMIT_BYTES


NUL = re.compile("%00|\0")


class NoNulInAddresses:
    """No address of ours holds a NUL, and PostgreSQL cannot be asked about one. In a query it is a space."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        request.META["QUERY_STRING"] = NUL.sub("%20", request.META.get("QUERY_STRING", ""))
        return self.get_response(request)

    def process_view(self, request, view, args, kwargs):
        if any("\0" in str(value) for value in kwargs.values()):
            raise Http404


class Discretion:
    """Nothing of a signed-in page stays behind in a browser, unless the view says otherwise.

    A page for everybody may stay, but is asked for again: what left the window yesterday may be back today.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        response.setdefault("Permissions-Policy", POWERS_WE_LEAVE_ALONE)
        if settings.SESSION_COOKIE_NAME in request.COOKIES:
            response.setdefault("Cache-Control", "no-store")
        elif response.get("Content-Type", "").startswith("text/html"):
            response.setdefault("Cache-Control", "no-cache")
        return response


class OutboxAnswers:
    """Tell the outbox of a device what became of a form that it sent (static/js/outbox.js).

    A script cannot see a redirect: it would follow it and use up the message that the person should read.
    So "done" comes with its address in a header; "sign-in", "refused" and "later" say what is to be done.
    A form goes under the name of the person who wrote it, whoever has signed in on the device since.
    """

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        response = self.get_response(request)
        if request.headers.get("X-Outbox"):
            _tell_outbox(response)
        return response

    def process_view(self, request, view, args, kwargs):
        sender = request.headers.get("X-Outbox")
        if sender and request.user.is_authenticated and sender != str(request.user.pk):
            return HttpResponse(status=401)
        return None


def _tell_outbox(response: HttpResponse) -> None:
    address = response.get("Location", "")
    if address and urlsplit(address).path == resolve_url(settings.LOGIN_URL):
        response.status_code = 401
    elif address:
        response.status_code = 200
        response["X-Outbox-Location"] = address
    del response["Location"]
    response["X-Outbox-Answer"] = _became(response)


def _became(response: HttpResponse) -> str:
    if "X-Outbox-Location" in response:
        return "done"
    if response.status_code == 401:
        return "sign-in"
    return "later" if response.status_code >= 500 else "refused"
