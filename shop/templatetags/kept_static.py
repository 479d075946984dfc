"""Addresses of static files, worked out once: they stay as they are while the program runs."""

from functools import lru_cache

from django import template
from django.core.files.storage import Storage, storages

register = template.Library()


@register.simple_tag
def static(path: str) -> str:
    return _address(storages["staticfiles"], path)


@lru_cache(maxsize=200)
def _address(storage: Storage, path: str) -> str:
    return storage.url(path)
