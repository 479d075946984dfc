"""A door of the shop without its limits, to be served by gunicorn: what they are held against."""

from types import SimpleNamespace

from shop.wsgi import application


def uncounted():
    """Every process forgets what was wrong before."""
    from shop.views import sign_in  # wants Django set up, which `shop.wsgi` does

    sign_in.begin_try = lambda *given, **named: SimpleNamespace()
    sign_in.was_right = lambda tried: None
    return application
