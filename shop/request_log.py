"""What the server writes of each request and each event: one line of JSON, and nothing personal in it.

A request is told by the *name* of its address and not by the address, which may hold a link's token or what
somebody searched for; who asked, by number. An event is told by the words of the program alone: what was
filled into them, and the words of an exception, may be a name, a telephone number or a key, so that only the
place and the kind of a fault are written. A request that is refused for what it is, such as one for another
host, is no fault of the program: its kind is told in one line, without a trail. WRESTPLANK_NODE says which of
several machines writes; requests are written where WRESTPLANK_LOG_REQUESTS is yes, which a demo's terminal is
spared.
"""

import json
import logging
import os
import platform
import re
import time
import traceback
import uuid
from contextvars import ContextVar
from datetime import UTC, datetime

from django.core.exceptions import SuspiciousOperation

from shop.environment import environment_flag

REQUESTS = logging.getLogger("shop.requests")
GIVEN = re.compile(r"[0-9a-f]{32}")
NODE = os.environ.get("WRESTPLANK_NODE") or platform.node()
request_id: ContextVar[str] = ContextVar("request_id", default="")
PLAIN = (int, float, bool, type(None))
KEPT_UNDER = re.compile(r"(?:[a-z]+/)*[0-9a-f]{32}\.[a-z0-9]{1,5}")  # the name we gave to a file
METHODS = {"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"}
# Their words are about the program.
OF_THE_PROGRAM = (AttributeError, ImportError, NameError)


class RequestLog:
    """First of all: it numbers the request, and writes how it was answered. nginx may have numbered it."""

    def __init__(self, get_response):
        self.get_response = get_response

    def __call__(self, request):
        given = request.headers.get("X-Request-ID", "")
        number = given if GIVEN.fullmatch(given) else uuid.uuid4().hex
        token, begun = request_id.set(number), time.monotonic()
        try:
            response = self.get_response(request)
            response["X-Request-ID"] = number
            REQUESTS.info("answered", extra={"told": _told(request, response, time.monotonic() - begun)})
            return response
        finally:
            request_id.reset(token)


def _told(request, response, seconds: float) -> dict:
    match = request.resolver_match
    user = getattr(request, "user", None)
    return {
        "method": request.method if request.method in METHODS else "other",
        "page": match.view_name if match else None,
        "status": response.status_code,
        "ms": round(seconds * 1000, 1),
        # An answer that never asked who is there does not ask now.
        "who": user.pk if user is not None and "_cached_user" in request.__dict__ else None,
    }


class OneLine(logging.Formatter):
    def format(self, record: logging.LogRecord) -> str:
        line = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
            "event": words_of(record),
            "request": request_id.get(),
            "node": NODE,
            **getattr(record, "told", {}),
        }
        if record.exc_info and record.exc_info[0]:
            line |= _refusal(*record.exc_info) or _fault(*record.exc_info)
        return json.dumps(line, ensure_ascii=True)


def words_of(record: logging.LogRecord) -> str:
    """The words that stand in the program; of what was to be filled in only plain numbers."""
    if not isinstance(record.msg, str):
        return type(record.msg).__name__
    if not isinstance(record.args, tuple):
        return record.msg
    known = iter(record.args)
    return re.sub(r"%%|%[-#0-9.+]*[a-zA-Z]", lambda found: _filled(found.group(), known), record.msg)


def _filled(place: str, known) -> str:
    if place == "%%":
        return "%"
    value = next(known, None)
    is_ours = isinstance(value, PLAIN) or (isinstance(value, str) and KEPT_UNDER.fullmatch(value))
    return str(value) if is_ours else "…"


def _refusal(kind: type[BaseException], *_) -> dict:
    """Django logs its refusals as errors, in the words of the exception, which hold what was sent."""
    if not issubclass(kind, SuspiciousOperation):
        return {}
    return {"level": "warning", "event": "Refused before any page was asked.", "refusal": kind.__name__}


def _fault(kind: type[BaseException], error: BaseException, trail) -> dict:
    told = {"fault": kind.__name__, "Traceback": _places(trail)}
    return told | ({"words": str(error)} if isinstance(error, OF_THE_PROGRAM) else {})


def _places(trail) -> list[str]:
    """File, line and function, the innermost last; never the values that were there."""
    frames = traceback.extract_tb(trail)[-12:]
    return [f"{'/'.join(each.filename.split('/')[-2:])}:{each.lineno} {each.name}" for each in frames]


def logging_settings() -> dict:
    """For `settings.LOGGING`."""
    level = "INFO" if environment_flag("WRESTPLANK_LOG_REQUESTS", default=False) else "WARNING"
    told = {"handlers": ["lines"], "propagate": False}
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"one_line": {"()": "shop.request_log.OneLine"}},
        "handlers": {"lines": {"class": "logging.StreamHandler", "formatter": "one_line"}},
        "root": {"handlers": ["lines"], "level": "WARNING"},
        "loggers": {
            "shop.requests": told | {"level": level},
            # It would tell each 404 and 500 again, with its address.
            "django.request": told | {"level": "ERROR"},
            "django": told | {"level": "WARNING"},
            "django.server": {"handlers": [], "propagate": False},
        },
    }
