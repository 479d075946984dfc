"""The static files are looked for once in a process, and not again for each client that a test opens.

Some thousand clients look through the same folders, which takes as long as a page does.
"""

from django.conf import settings
from whitenoise.middleware import WhiteNoiseMiddleware

_look = WhiteNoiseMiddleware.add_files_from_finders
_found: dict[str, dict] = {}


def look_once() -> None:
    """Until the process ends."""
    WhiteNoiseMiddleware.add_files_from_finders = _look_or_remember


def _look_or_remember(middleware: WhiteNoiseMiddleware) -> None:
    """What is found depends on where it is looked for, and on how it is to be served."""
    places = settings.STATICFILES_DIRS, settings.STATICFILES_FINDERS, settings.STATIC_URL, settings.STORAGES
    key = repr((places, middleware.static_prefix, middleware.max_age, middleware.autorefresh))
    if key not in _found:
        others, middleware.files = middleware.files, {}
        _look(middleware)
        _found[key], middleware.files = middleware.files, others
    middleware.files = middleware.files | _found[key]
