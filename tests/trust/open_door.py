"""A gunicorn door with the guards of uploads taken away, which only the control of a harness opens.

gunicorn "tests.trust.open_door:unguarded()"
"""

from importlib import import_module

from django.conf import settings

from shop.wsgi import application


def unguarded():
    """Any length is read, any measures are decoded, and what the camera wrote is kept."""
    import_module(settings.ROOT_URLCONF)
    middleware, pictures = import_module("shop.middleware"), import_module("instruments.pictures")
    middleware._limit_for = lambda request, view, kwargs: 10**12
    pictures.LARGEST_PIXELS = pictures.LONGEST_SIDE = 10**9
    saved = pictures._saved
    note = b"Hidden Camera Maker"

    def saved_with_notes(picture, kind, **options):
        if kind == "JPEG":
            options["comment"] = note
        return saved(picture, kind, **options)

    pictures._saved = saved_with_notes
    return application


def clumsy():
    """Whole numbers are read without care, and every cookie is written down."""
    import_module(settings.ROOT_URLCONF)
    forms = import_module("django.forms")
    forms.IntegerField.to_python = lambda field, value: int(value)
    forms.CharField.to_python = lambda field, value: value.encode("ascii").decode()

    def talkative(environ, start_response):
        environ["wsgi.errors"].write(f"{environ.get('HTTP_COOKIE')}\n")
        return application(environ, start_response)

    return talkative
