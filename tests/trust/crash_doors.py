"""The shop with one of its guards taken out, to see that the crash loop goes red.

gunicorn "tests.trust.crash_doors:by_halves()"
"""

import io
import re
import threading
import time
from contextlib import nullcontext
from pathlib import Path
from types import SimpleNamespace
from wsgiref.util import request_uri

from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage

from instruments.views import once
from shop.wsgi import application

LATE_SECONDS = 0.2


def by_halves():
    """What an act does and that it was done are two transactions instead of one."""
    once.transaction = SimpleNamespace(atomic=nullcontext)
    return application


def unsettled():
    """A row is written while its file is still on the way."""
    settle = FileSystemStorage._save

    def later(storage, name, content):
        kept = content.read()
        content.seek(0)
        name = settle(storage, name, ContentFile(b""))
        path = Path(storage.path(name))
        threading.Timer(LATE_SECONDS, path.write_bytes, [kept]).start()
        return name

    FileSystemStorage._save = later
    return application


def told_before_it_is_done():
    """“Done” is said at once, and the payment is written a moment later."""

    def hasty(environ, start_response):
        if environ["REQUEST_METHOD"] != "POST" or not re.search(r"/payment/$", environ["PATH_INFO"]):
            return application(environ, start_response)
        body = environ["wsgi.input"].read(int(environ["CONTENT_LENGTH"]))
        threading.Thread(target=_act_later, args=[environ | {"wsgi.input": io.BytesIO(body)}]).start()
        start_response("302 Found", [("Location", request_uri(environ)), ("Content-Length", "0")])
        return [b""]

    return hasty


def _act_later(environ) -> None:
    time.sleep(LATE_SECONDS)
    for _ in application(environ, lambda status, headers, fault=None: None):
        pass
