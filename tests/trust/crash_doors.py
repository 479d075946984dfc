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

from django.conf import settings
from django.core.files.base import ContentFile
from django.core.files.storage import FileSystemStorage
from django.db import connection

from instruments.views import once
from shop import not_now
from shop.views import errors
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


def hasty_with_the_disk():
    """SQLite waits for the disk now and then, instead of at each commit."""
    return _with_synchronous("NORMAL")


def careless_of_the_disk():
    """SQLite never waits for the disk."""
    return _with_synchronous("OFF")


def _with_synchronous(word: str):
    options = settings.DATABASES["default"]["OPTIONS"]
    weaker = options["init_command"].replace("synchronous=FULL", f"synchronous={word}")
    assert weaker != options["init_command"]
    options["init_command"] = connection.settings_dict["OPTIONS"]["init_command"] = weaker
    return application


def speechless():
    """A database or a disk that fails is a fault like any other."""
    not_now.answer_for_trouble = errors.answer_for_trouble = lambda request, error: None
    return application


def _act_later(environ) -> None:
    time.sleep(LATE_SECONDS)
    for _ in application(environ, lambda status, headers, fault=None: None):
        pass
