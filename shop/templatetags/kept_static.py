"""Addresses of static files, worked out once: they stay as they are while the program runs."""

from functools import lru_cache

from django import template
from django.conf import settings
from django.core.files.storage import Storage, storages
from django.utils.safestring import SafeString
from django_htmx.jinja import htmx_script

register = template.Library()


@register.simple_tag
def static(path: str) -> str:
    return _address(storages["staticfiles"], path)


@lru_cache(maxsize=200)
def _address(storage: Storage, path: str) -> str:
    return storage.url(path)


@register.simple_tag
def htmx() -> SafeString:
    return _htmx(storages["staticfiles"], settings.DEBUG)


@lru_cache(maxsize=2)
def _htmx(storage: Storage, debug: bool) -> SafeString:
    """As `htmx_script` draws it for these; none of our pages has a nonce."""
    return htmx_script()
